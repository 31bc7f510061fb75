"""Many fronts solved together give what each of them gives alone."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from app.document.model import Change, FrozenMap, Setup
from app.systems.front.inputs import measured_car, proposed_car
from app.systems.front.many import read_fronts
from geometry.errors import DegenerateGeometry
from geometry.front import many_settling
from geometry.front import results as groups
from geometry.front.axle import Front, build_front
from geometry.front.many import ManyPoses, pose_many
from geometry.front.many_settling import one_of
from geometry.front.many_singles import OF_STEER, OF_TRAVEL, singles_of_many
from geometry.front.sweeps import pose_front, study_front
from tests.helpers.front_setups import (
    DENSE,
    RELAY,
    built,
    front_setup,
    invented_points,
    mirrored,
)
from tests.helpers.long_cases import typical_of

TRAVEL = np.linspace(-80.0, 80.0, 9)
ROLL = np.radians(np.linspace(-5.0, 5.0, 9))
STEER = np.linspace(-60.0, 60.0, 9)
ZERO = np.zeros(9)
POSES = {
    "level": (TRAVEL, ZERO, ZERO),
    "rolled": (ZERO, ROLL, ZERO),
    "steered": (ZERO, ZERO, STEER),
    "steered and level": (TRAVEL, ZERO, np.full(9, 20.0)),
    "all together": (0.4 * TRAVEL, 0.5 * ROLL, np.repeat([-30.0, 0.0, 30.0], 3)),
}
BAR = {
    "front__spring__kind": "torsion bar",
    "front__spring__on": "lower arm",
    "front__spring__rate": 2.4e7,
}
SOLID = {"front__spring__solid_length": 160.0}
LOWER_PIVOTS = Change(
    "lower",
    moves=FrozenMap({f"front.upper_{end}": (0.0, 0.0, -20.0) for end in ("front", "rear")}),
    sets=FrozenMap({"front.spring.rate": 47.0, "front.toe": 0.001}),
)


def unlike(seed: int) -> Setup:
    right = mirrored(invented_points(1000 + seed, 4.0))
    return front_setup(invented_points(seed, 4.0), right=right)


CARS = {
    "alike sides": [front_setup(invented_points(seed, 4.0)) for seed in range(5)],
    "unlike sides": [unlike(seed) for seed in range(5)],
    "relay": [
        front_setup({**invented_points(seed, 4.0), **RELAY}, front__steering__kind="relay")
        for seed in range(5)
    ],
    "torsion bar": [front_setup(invented_points(seed, 4.0), **BAR) for seed in range(5)],
    "proposed": [
        front_setup(invented_points(seed, 4.0), changes=(LOWER_PIVOTS,)) for seed in range(5)
    ],
}


KEPT = [*zip(CARS, POSES, strict=True), ("unlike sides", "all together"), ("proposed", "level")]


def alone(setup: Setup) -> Front:
    measured = built(setup)
    return build_front(proposed_car(setup), measured.reference) if setup.changes else measured


def agree(together: ManyPoses, place: int, front: Front, poses: tuple[np.ndarray, ...]) -> None:
    single = pose_front(front, *poses)
    good = single.reached
    assert (together.reached[place] == good).all()
    assert set(together.values) == set(single.values)
    for key, value in single.values.items():
        one = together.values[key][place]
        wanted = np.broadcast_to(value, one.shape)[..., good]
        # a centre that runs to infinity carries its rounding along
        far = np.maximum(np.abs(wanted), 100.0 if "centre" in key else 1.0)
        where = np.isfinite(wanted)
        assert (np.isfinite(one[..., good]) == where).all(), key
        apart = np.abs(one[..., good] - wanted)[where] / far[where]
        assert apart.max(initial=0.0) < 1e-9, key
        assert np.isnan(one[..., ~good]).all(), key


@pytest.mark.parametrize(("cars", "poses"), typical_of(product(CARS, POSES), KEPT))
def test_each_car_is_as_when_it_is_solved_alone(cars: str, poses: str) -> None:
    fronts, _ = read_fronts(CARS[cars])
    together = pose_many(fronts, *POSES[poses])
    for place, setup in enumerate(CARS[cars]):
        agree(together, place, alone(setup), POSES[poses])


def test_a_car_with_a_short_reach_is_as_alone_and_leaves_the_others_as_they_are() -> None:
    short = invented_points(2, 4.0) | {"tie_inner": (-150.0, 545.0, 262.0)}
    setups = [CARS["alike sides"][0], front_setup(short), CARS["alike sides"][1]]
    wide = np.linspace(-260.0, 260.0, 9)
    fronts, _ = read_fronts(setups)
    for poses in ((wide, ZERO, ZERO), (ZERO, 4.0 * ROLL, ZERO), (ZERO, ZERO, 2.0 * STEER)):
        together = pose_many(fronts, *poses)
        assert not together.reached.all()
        for place, setup in enumerate(setups):
            agree(together, place, built(setup), poses)


def test_each_car_may_have_its_own_travel() -> None:
    fronts, _ = read_fronts(CARS["unlike sides"])
    travel = TRAVEL + np.arange(5.0)[:, None]
    together = pose_many(fronts, travel, 0.3 * ROLL, ZERO)
    for place, setup in enumerate(CARS["unlike sides"]):
        agree(together, place, built(setup), (travel[place], 0.3 * ROLL, ZERO))


def test_a_car_that_cant_be_built_is_none_and_the_others_stay() -> None:
    plain = CARS["alike sides"]
    flat = invented_points(0, 4.0)
    bad = front_setup(flat | {"upper_rear": flat["upper_front"]})
    fronts, _ = read_fronts([plain[0], bad, plain[1], bad])
    assert fronts.sound.tolist() == [True, False, True, False]
    together = pose_many(fronts, *POSES["rolled"])
    assert not together.reached[[1, 3]].any()
    assert all(np.isnan(value[[1, 3]]).all() for value in together.values.values())
    agree(together, 0, built(plain[0]), POSES["rolled"])
    agree(together, 2, built(plain[1]), POSES["rolled"])


def test_where_no_car_can_be_built_the_reason_is_that_of_one() -> None:
    flat = invented_points(0, 4.0)
    bad = front_setup(flat | {"upper_rear": flat["upper_front"]})
    with pytest.raises(DegenerateGeometry, match="NO_PIVOT_LINE"):
        read_fronts([bad, bad])


def test_proposals_of_cars_that_cant_be_built_arent_either() -> None:
    good = CARS["proposed"]
    flat = invented_points(0, 4.0)
    bad = front_setup(flat | {"lower_ball": flat["upper_ball"]}, changes=(LOWER_PIVOTS,))
    setups = [good[0], bad, good[1]]
    fronts, _ = read_fronts(setups)
    assert fronts.sound.tolist() == [True, False, True]
    agree(pose_many(fronts, *POSES["level"]), 2, alone(good[1]), POSES["level"])


def test_only_what_is_asked_for_is_answered_and_its_the_same() -> None:
    fronts, _ = read_fronts(CARS["unlike sides"])
    every = pose_many(fronts, *POSES["rolled"]).values
    for key, value in every.items():
        (only,) = pose_many(fronts, *POSES["rolled"], keys=(key, "no_such_result")).values.items()
        assert only[0] == key
        np.testing.assert_array_equal(only[1], value)


def test_the_groups_of_results_name_what_is_in_them() -> None:
    front = built(front_setup())
    poses = pose_front(front, ZERO, ROLL, ZERO).poses
    every = set(front.results(poses))
    plain = set(front.results(poses, ()))
    parts = (
        groups.OFFSETS,
        groups.TURNING,
        groups.RATES,
        groups.CENTRES,
        groups.SWINGS,
        groups.SPRINGS,
        groups.DIVE,
    )
    assert set().union(*parts) & every == every - plain
    for key in every:
        assert key in front.results(poses, (key,)), key


@pytest.mark.parametrize("cars", ["unlike sides", "relay", "torsion bar", "proposed"])
def test_what_a_car_has_once_is_as_alone(cars: str) -> None:
    fronts, _ = read_fronts(CARS[cars])
    together = singles_of_many(fronts, DENSE, {"settled_travel"} | OF_TRAVEL | OF_STEER)
    for place, setup in enumerate(CARS[cars]):
        single = study_front(alone(setup), DENSE).single
        assert set(together) == set(single)
        for key, value in single.items():
            # the settled height is read off a sweep there, and is a root here
            near = 1e-6 if key == "settled_travel" else 1e-9
            assert together[key][place] == pytest.approx(value, abs=near), key


def test_the_springs_carry_the_load_where_the_cars_settle() -> None:
    fronts, _ = read_fronts(CARS["proposed"])
    settled = singles_of_many(fronts, DENSE, {"settled_travel"})["settled_travel"]
    keys = ("spring_force", "spring_motion_ratio")
    stand = pose_many(fronts, settled[:, None], np.zeros(1), np.zeros(1), keys).values
    carried = (stand["spring_force"] * stand["spring_motion_ratio"]).mean(axis=1)[:, 0]
    for load, setup in zip(carried, CARS["proposed"], strict=True):
        weight = measured_car(setup).sprung_mass * 9.80665
        assert load == pytest.approx(weight, rel=1e-9)


def test_a_load_that_no_height_carries_has_none_while_others_do() -> None:
    soft = replace(LOWER_PIVOTS, sets=FrozenMap({"front.spring.rate": 0.5}))
    firm = replace(LOWER_PIVOTS, sets=FrozenMap({"front.spring.rate": 55.0}))
    setups = [front_setup(changes=(change,)) for change in (soft, firm)]
    fronts, _ = read_fronts(setups)
    settled = singles_of_many(fronts, DENSE, {"settled_travel"})["settled_travel"]
    for setup, travel in zip(setups, settled, strict=True):
        single = study_front(alone(setup), DENSE).single.get("settled_travel")
        assert (single is None) == bool(np.isnan(travel))
        assert single is None or travel == pytest.approx(single, abs=1e-6)


def test_a_car_out_of_many_that_is_looked_at_by_itself_is_as_alone() -> None:
    """What `settle_many` does with a car that Newton's steps don't bring to rest."""
    cars = [front_setup(**SOLID, front__spring__rate=rate) for rate in (45.0, 52.0, 60.0)]
    fronts, _ = read_fronts(cars)
    one = study_front(one_of(fronts.front, len(cars), 1), DENSE, short=True).single
    whole = study_front(alone(cars[1]), DENSE, short=True).single
    assert one["coil_bind_travel"] == pytest.approx(whole["coil_bind_travel"])
    assert one["settled_travel"] == pytest.approx(whole["settled_travel"], abs=1e-9)


def test_cars_with_packs_of_their_own_on_each_side_are_settled_together(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Nearly where they were measured, though at the arms' first angles their wheels aren't."""

    def packed(left: float, right: float) -> Setup:
        moves = {"front.upper_front": (0, -left, 0), "front.right.upper_front": (0, right, 0)}
        return front_setup(changes=(Change("packs", moves=FrozenMap(moves)),))

    setups = [packed(9.0, right) for right in (-6.0, -6.75, -6.975, -8.0)]
    expected = [study_front(alone(setup), DENSE).single["settled_travel"] for setup in setups]
    monkeypatch.setattr(many_settling, "study_front", lambda *_, **__: pytest.fail("one alone"))
    fronts, _ = read_fronts(setups)
    settled = singles_of_many(fronts, DENSE, {"settled_travel"})["settled_travel"]
    assert settled == pytest.approx(np.array(expected), abs=1e-6)
