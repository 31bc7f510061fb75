"""A spring's free state that nobody measured is the one with which it carries the weighed car.

The reference is the car on which that free state is given as the weight asks for it: the same car.
"""

from __future__ import annotations

from dataclasses import replace
from typing import cast

import numpy as np
import pytest

from app.document.files import read_setup
from app.document.model import Change, FrozenMap, Leaf, Setup, Value
from app.document.samples import sample_paths
from app.systems.every import BY_KEY, LIMIT_KINDS
from app.systems.hold_words import hold_words
from app.systems.holding import holds
from app.systems.rear.shop.spring_order import rear_order
from app.systems.rear.system import REAR
from geometry.leaf.ride import arch

SAMPLES = {path.stem: read_setup(path, limit_kinds=LIMIT_KINDS).setup for path in sample_paths()}
ARCH, TORQUE = "rear.pack.free_arch", "front.spring.preload"


def having(setup: Setup, key: str, value: Value | None) -> Setup:
    evidence = {name: each for name, each in setup.evidence.items() if name != key}
    return setup.having(evidence=FrozenMap(evidence if value is None else {**evidence, key: value}))


def alone(name: str, *changes: Change) -> Setup:
    return SAMPLES[name].having(changes=changes, heights=FrozenMap())


def weighed(name: str, key: str) -> float:
    """Return the free state with which the measured springs carry the car."""
    measured = BY_KEY[key.partition(".")[0]].study(alone(name)).measured
    if key == ARCH:
        return arch(measured.leaf.loop, measured.leaf.reference.free)
    return float(measured.rest.values["bar_torque"].mean())


@pytest.mark.parametrize(
    ("name", "key", "step"), [("small_saloon", ARCH, 10.0), ("torsion_coupe", TORQUE, 4e4)]
)
def test_a_change_counts_from_the_weighed_state(name: str, key: str, step: float) -> None:
    known = weighed(name, key)
    change = Change("Set", sets=FrozenMap({key: known + step}))
    setup, system = alone(name, change), BY_KEY[key.partition(".")[0]]
    silent, given = (
        system.study(having(setup, key, value)).proposed.stand.travel for value in (None, known)
    )
    assert abs(silent) > 1.0
    assert silent == pytest.approx(given, abs=1e-6)


@pytest.mark.parametrize(
    ("name", "key", "height"), [("small_saloon", ARCH, 360.0), ("torsion_coupe", TORQUE, 330.0)]
)
def test_what_holds_a_height_counts_from_the_weighed_state(
    name: str, key: str, height: float
) -> None:
    known, end = weighed(name, key), key.partition(".")[0]
    setup = alone(name).having(heights=FrozenMap({end: height}))
    for value in (None, known):
        study = BY_KEY[end].study(having(setup, key, value))
        (hold,) = (each for each in holds(study) if each.key == key)
        assert hold.value - hold.by == pytest.approx(known)
        assert hold.is_weighed == (value is None)
        assert ("as weighed: none is given" in hold_words(study)) == (value is None)


def test_helpers_touch_where_they_did_on_springs_whose_arch_is_weighed() -> None:
    setup = alone("small_saloon", Change("Set", sets=FrozenMap({ARCH: 130.0})))
    leaves = list(cast("tuple[Leaf, ...]", setup.evidence["rear.pack.leaf"]))
    leaves[-1] = replace(leaves[-1], contact=20.0)
    setup = having(setup, "rear.pack.leaf", tuple(leaves))
    measured = REAR.study(having(setup, ARCH, None)).measured.leaf
    assert measured is not None
    known = measured.free_arch
    cars = [REAR.study(having(setup, ARCH, value)).proposed.leaf for value in (None, known)]
    contacts = [[leaf.contact for leaf in car.car.pack.leaves] for car in cars if car]
    assert np.allclose(*contacts)


def test_a_spring_maker_is_told_the_weighed_arch() -> None:
    setup = having(alone("small_saloon"), ARCH, None)
    leaves = cast("tuple[Leaf, ...]", setup.evidence["rear.pack.leaf"])[:-1]
    change = Change("Set", sets=FrozenMap({"rear.pack.leaf": leaves}))
    (order,) = rear_order(REAR.study(setup.having(changes=(change,))), ".")
    words = f"{weighed('small_saloon', ARCH):.1f} mm, as weighed"
    assert (order.rows[0].found, order.rows[0].wanted) == (words, words)
