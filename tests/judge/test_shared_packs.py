"""Packs out of the shims that there are, against every way of laying them out by hand."""

from __future__ import annotations

from collections import Counter
from functools import cache
from itertools import product
from math import radians

import numpy as np
import pytest

from app.document.model import Setup
from app.document.plans import Adjuster, Aim
from app.judge.align import aligned
from app.judge.aligning_cars import knobs_of, with_amounts
from app.judge.alignment import Alignment
from app.systems.front.system import FRONT
from tests.helpers.long_cases import LONG
from tests.judge.test_align import UPPER, car

pytestmark = pytest.mark.gui

ALIKE = ((1, 1, 1, 1), (0, 0, 0, 1), (4, 0, 0, 0))
WHEELS = ("left", "right")
AIMS = {
    "front.camber": Aim(0.0, radians(0.25)),
    "front.caster": Aim(radians(3.0), radians(0.3)),
}


def with_stock(have: tuple[float, ...], sizes: tuple[float, ...], most: float = 15.0) -> Setup:
    shims = Adjuster(UPPER, True, (3.0, 3.0), (), sizes, have, most, 6.0)
    return car(adjusters={"front.upper_shims": shims}, aims=AIMS)


def score(told: Alignment) -> float:
    return sum(miss(wheel.remaining) for wheel in told.wheels.values())


def miss(remaining: dict[str, float]) -> float:
    return sum((remaining[key.partition(".")[2]] / aim.within) ** 2 for key, aim in AIMS.items())


@pytest.mark.parametrize(
    "have", [(0, 2, 1, 3), *(pytest.param(h, marks=LONG) for h in ALIKE)], ids=str
)
def test_shims_never_leave_the_car_worse_than_what_is_fitted(have: tuple[float, ...]) -> None:
    setup = with_stock(have, (0.5, 1.0, 2.0, 3.0))
    told = aligned(setup)
    as_it_is = sum(
        miss({key: aim.value - getattr(setup.gauge[f"front.{side}"], key) for key, aim in named()})
        for side in WHEELS
    )
    assert score(told) <= as_it_is
    opened = [
        pack for wheel in told.wheels.values() for pack in wheel.packs.values() if pack != [3.0]
    ]
    used = Counter(piece for pack in opened for piece in pack)
    out = Counter({3.0: len(opened)})  # the fewest that make what comes out
    for size, number in zip((0.5, 1.0, 2.0, 3.0), have, strict=True):
        assert used[size] <= number + out[size]


def named() -> list[tuple[str, Aim]]:
    return [(key.partition(".")[2], aim) for key, aim in AIMS.items()]


def test_what_is_counted_is_shared_so_that_both_wheels_are_best() -> None:
    """Each of four bolts keeps its pack or takes some of the pieces: all ways, as whole cars.

    A pack that is opened gives its shims back: 3 mm are one of each size.
    """
    setup, sizes, have = with_stock((1, 0), (1.0, 2.0), 6.0), (1.0, 2.0), (1, 0)
    told = aligned(setup)
    knobs = knobs_of(setup.adjusters)
    packs = {s: [sum(told.wheels[s].packs[k.key]) for k in knobs] for s in WHEELS}
    toe = {side: setup.gauge[f"front.{side}"].toe for side in WHEELS}

    def read_of(by: dict[str, tuple[float, float]]) -> dict[str, np.ndarray]:
        amounts = {s: dict(zip((k.key for k in knobs), by[s], strict=True)) for s in WHEELS}
        values = FRONT.study(with_amounts(setup, knobs, amounts, toe)).proposed.rest.values
        return {key: values[key][:, 0] for key, _ in named()}

    before = read_of(dict.fromkeys(WHEELS, (0.0, 0.0)))

    @cache
    def missed(side: str, pair: tuple[float, float]) -> float:
        after = read_of({s: (p[0] - 3.0, p[1] - 3.0) for s, p in {**packs, side: pair}.items()})

        gauge = setup.gauge[f"front.{side}"]
        return sum(
            (
                (getattr(gauge, key) + (after[key] - before[key])[WHEELS.index(side)] - aim.value)
                / aim.within
            )
            ** 2
            for key, aim in named()
        )

    bolts = [None, *product(range(have[0] + 5), range(have[1] + 5))]
    bolts = [each for each in bolts if each is None or np.dot(each, sizes) <= 6.0]
    best = np.inf
    for four in product(bolts, repeat=4):
        made = [each for each in four if each is not None]
        if any(sum(e[place] for e in made) > have[place] + len(made) for place in (0, 1)):
            continue
        thick = [3.0 if each is None else float(np.dot(each, sizes)) for each in four]
        if max(thick) <= 6.0 and abs(thick[0] - thick[1]) <= 6 and abs(thick[2] - thick[3]) <= 6:
            total = missed("left", (thick[0], thick[1])) + missed("right", (thick[2], thick[3]))
            best = min(best, total)
    assert score(told) == pytest.approx(best, rel=1e-6)


@LONG
def test_thin_shims_are_shared_where_not_all_packs_can_be_tried() -> None:
    """One wheel must not take them all: both can be met with three pieces of each."""
    told = aligned(with_stock((3,) * 6, (0.1, 0.25, 0.5, 1.0, 2.0, 3.0)))
    assert all(wheel.met for wheel in told.wheels.values())
