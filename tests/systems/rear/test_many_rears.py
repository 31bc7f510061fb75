"""Many setups' rears by result key: what each setup's own study says."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from app.document.files import read_setup
from app.document.model import Change, FrozenMap, Leaf, Setup
from app.document.samples import sample_paths
from app.systems.answers import Pose
from app.systems.every import LIMIT_KINDS
from app.systems.rear.many import values_of_many
from app.systems.rear.system import REAR
from geometry.catalogue.rear import LEAF_RESULTS, LINK_RESULTS
from geometry.errors import GeometryError
from geometry.leaf import many_axles
from tests.helpers import rear_setups
from tests.helpers.long_cases import typical, typical_of
from tests.helpers.perturbed import measured_again

ONCE = {result.key for result in (*LEAF_RESULTS, *LINK_RESULTS) if result.scope == "car"}
KEYS = {result.key for result in (*LEAF_RESULTS, *LINK_RESULTS)}
TRAVEL = np.linspace(-60.0, 60.0, 5)
ROLL = np.radians(np.linspace(-4.0, 4.0, 5))
STILL = np.zeros(5)

SETUPS = {
    "leaves": rear_setups.leaf_car(),
    "leaves proposed": rear_setups.leaf_car(
        rear_setups.BLOCK,
        rear_setups.RIGHT_BEHIND,
        rear__damper__closed_length=350.0,
        rear__damper__open_length=430.0,
    ),
    "leaves, crooked": rear_setups.leaf_car(
        Change("hanger", moves=FrozenMap({"rear.right.front_eye": (6.35, 0.0, 0.0)})),
    ),
    "links": rear_setups.link_car(),
    "links proposed": rear_setups.link_car(
        Change(
            "pins",
            moves=FrozenMap({"rear.lower_body": (0.0, 0.0, 12.0)}),
            sets=FrozenMap({"rear.spring.free_length": 335.0}),
        )
    ),
    "onto links": rear_setups.leaf_car(rear_setups.ONTO_LINKS),
}

KEPT = (
    ("leaves", "both"),
    ("leaves proposed", "level"),
    ("leaves, crooked", "rolled"),
    ("links", "level"),
    ("links proposed", "both"),
    ("onto links", "rolled"),
)


def packs_too(setup: Setup, place: int) -> Setup:
    """Leaves measured again as well, a hair thicker in every other setup."""
    leaves = setup.evidence.get("rear.pack.leaf")
    if leaves is None:
        return setup
    assert isinstance(leaves, tuple)
    thicker = tuple(
        replace(leaf, thickness=leaf.thickness + 0.01 * place)
        for leaf in leaves
        if isinstance(leaf, Leaf)
    )
    return setup.having(evidence=FrozenMap({**setup.readings, "rear.pack.leaf": thicker}))


def agree(setups: list[Setup], travel: np.ndarray, roll: np.ndarray) -> None:
    answers = values_of_many(setups, KEYS, travel=travel, roll=roll)
    for place, setup in enumerate(setups):
        car = REAR.solve(setup)
        for pose in range(travel.size):
            try:
                alone = car.tried_pose(Pose(float(travel[pose]), float(roll[pose])))
            except GeometryError:
                assert not answers.reached[place, pose]
                continue
            assert answers.reached[place, pose] == alone.reached[0]
            assert set(answers.values) - ONCE == set(alone.values) & KEYS
            for key, value in alone.values.items():
                one = answers.values[key][place, ..., pose]
                if not alone.reached[0]:
                    assert np.isnan(one).all()
                elif np.isfinite(value).all():
                    off, size = np.abs(one - value[..., 0]), np.abs(value[..., 0])
                    assert (off <= 1e-9 * np.maximum(size, 1.0)).all(), (key, pose, one, value)
        single = {key: answers.values[key][place] for key in ONCE & set(answers.values)}
        there = {key for key, value in single.items() if np.isfinite(value)}
        assert there == set(car.single)
        for key in there:
            assert single[key] == pytest.approx(car.single[key], rel=1e-9, abs=1e-7), key


@pytest.mark.parametrize(
    ("name", "poses"),
    typical_of(product(SETUPS, ("level", "rolled", "both")), KEPT),
)
def test_rears_measured_again_are_as_their_own_studies(name: str, poses: str) -> None:
    setups = [packs_too(each, i) for i, each in enumerate(measured_again(SETUPS[name], 2))]
    travel = TRAVEL if poses != "rolled" else STILL
    roll = ROLL if poses != "level" else STILL
    agree(setups, 0.3 * travel if poses == "both" else travel, roll)


@pytest.mark.parametrize("name", ["leaves", "links"])
def test_poses_out_of_reach_are_none_as_alone(name: str) -> None:
    setups = measured_again(SETUPS[name], 2)
    agree(setups, np.linspace(-400.0, 400.0, 5), STILL)
    agree(setups, STILL, np.linspace(-0.9, 0.9, 5))


@pytest.mark.parametrize(
    "path",
    typical(sample_paths(), lambda path: path.stem in ("inch_sedan", "hillclimb_special")),
    ids=lambda path: path.stem,
)
def test_samples_as_their_own_studies(path: object) -> None:
    setup = read_setup(path, limit_kinds=LIMIT_KINDS).setup  # type: ignore[arg-type]
    if REAR.gives(setup):
        agree(measured_again(setup, 2), 0.5 * TRAVEL, STILL)


@pytest.mark.parametrize("name", ["leaves", "links"])
def test_a_rear_that_cant_be_built_is_none_and_the_others_stay(name: str) -> None:
    good = SETUPS[name]
    key, away = (
        ("rear.shackle_body", "rear.front_eye")
        if name == "leaves"
        else ("rear.lateral_axle", "rear.lateral_body")
    )
    bad = replace(good, evidence=FrozenMap({**good.evidence, key: good.evidence[away]}))
    answers = values_of_many([good, bad, good], KEYS, travel=TRAVEL)
    assert not answers.reached[1].any()
    assert answers.reached[[0, 2]].all()
    assert all(np.isnan(value[1]).all() for value in answers.values.values())
    reason = "NOTHING_HANGS" if name == "leaves" else "LinksLoose"
    with pytest.raises(GeometryError, match=reason):
        values_of_many([bad, bad], KEYS, travel=TRAVEL)


def test_one_measured_car_serves_many_proposals() -> None:
    for name in ("leaves proposed", "links proposed"):
        car = SETUPS[name]
        change = car.changes[0]
        key = next(iter(change.moves))
        setups = [
            replace(
                car, changes=(replace(change, moves=FrozenMap({key: (0.0, 0.0, -4.0 * step)})),)
            )
            for step in range(3)
        ]
        agree(setups, TRAVEL, STILL)


def test_setups_of_two_kinds_are_refused() -> None:
    with pytest.raises(ValueError, match="same kind of rear"):
        values_of_many([SETUPS["leaves"], SETUPS["links"]], ("wheel_rate",))


def much_alike(setup: Setup) -> list[Setup]:
    """The setup with a point a few tenths off in each, as bands ask for it."""
    key = "rear.front_eye" if "rear.front_eye" in setup.evidence else "rear.upper_body"
    x, y, z = setup.evidence[key]  # type: ignore[misc]
    off = [FrozenMap({**setup.evidence, key: (x + 0.1 * step, y, z)}) for step in range(3)]
    return [setup.having(evidence=evidence) for evidence in off]


@pytest.mark.parametrize(
    "name", typical_of(("leaves proposed", "links proposed"), ("leaves proposed",))
)
def test_cars_much_alike_are_as_their_own_studies_also_where_they_end(name: str) -> None:
    setups = much_alike(SETUPS[name])
    agree(setups, np.linspace(-400.0, 400.0, 5), STILL)
    agree(setups, 0.3 * TRAVEL, ROLL)


def test_leaf_springs_measured_again_are_put_together_at_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    alone: list[object] = []
    monkeypatch.setattr(many_axles, "build_leaf", lambda *asked: alone.append(asked))
    for name in ("leaves", "leaves proposed", "leaves, crooked"):
        assert values_of_many(
            much_alike(SETUPS[name]), KEYS - ONCE, travel=0.3 * TRAVEL
        ).reached.all()
    assert not alone
