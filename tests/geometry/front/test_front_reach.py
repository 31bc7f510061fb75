"""Where a front's travel ends: the fold itself, flags, sentences, nothing that isn't a number."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from app.systems.answers import Pose, value_in, values_over
from app.systems.front.inputs import measured_car
from app.systems.front.study import at_pose, sweep_at
from app.systems.front.system import FRONT
from geometry.catalogue.front import BY_KEY, RESULTS
from geometry.errors import DegenerateGeometry, OnOneLine, Unreachable
from geometry.front.axle import build_front
from geometry.front.limits import explain
from geometry.front.sweeps import Ask, FrontStudy, pose_front, study_front
from tests.helpers.front_rods import LOWER, OUTER, UPPER, RodCorner
from tests.helpers.front_setups import (
    PLAIN,
    Points,
    built,
    front_setup,
    invented_points,
    planar_points,
    swept,
)
from tests.helpers.long_cases import typical_of

# found by trying: seed and spread of corners that end inside ±80 mm, by which closure
UPPER_ENDS = ((4, 120.0, -1), (8, 80.0, -1), (39, 120.0, -1))
TIE_ENDS = ((9, 120.0, 1), (18, 80.0, 1), (27, 60.0, -1))
DEAD_CENTRES = ((2, 60.0, -1), (9, 120.0, -1), (54, 120.0, -1))
CORNER = (
    *("upper_front", "upper_rear", "upper_ball", "lower_front", "lower_rear", "lower_ball"),
    *("tie_inner", "tie_outer", "wheel_centre"),
)


def rods_of(points: Points) -> RodCorner:
    return RodCorner.of({name: points[name] for name in CORNER})


def end_of(study: FrontStudy, way: int) -> float:
    line = study.line
    return float((line.lowest if way < 0 else line.highest)[0, 0])


def upper_side(rods: RodCorner, unknown: np.ndarray) -> float:
    """Signed volume of the upper arm and the lower ball joint: zero where arm and kingpin align."""
    p = rods.points
    axis = p["upper_rear"] - p["upper_front"]
    arm, towards = unknown[UPPER] - p["upper_front"], unknown[LOWER] - p["upper_front"]
    return float(np.dot(arm, np.cross(axis, towards)))


def tie_side(rods: RodCorner, unknown: np.ndarray) -> float:
    """Signed volume of kingpin, steering arm and tie rod."""
    kingpin, arm = unknown[UPPER] - unknown[LOWER], unknown[OUTER] - unknown[LOWER]
    return float(np.dot(arm, np.cross(kingpin, rods.points["tie_inner"] - unknown[LOWER])))


@pytest.mark.parametrize(
    ("case", "side"),
    typical_of(
        [(case, upper_side) for case in UPPER_ENDS] + [(case, tie_side) for case in TIE_ENDS],
        ((UPPER_ENDS[0], upper_side), (TIE_ENDS[0], tie_side)),
    ),
)
def test_a_limit_is_where_the_closures_determinant_vanishes(
    case: tuple[int, float, int], side: object
) -> None:
    seed, spread, way = case
    points = invented_points(seed, spread)
    limit = end_of(swept(front_setup(points)), way)
    rods = rods_of(points)
    known = {0.0: rods.at_design(rods.points)}

    def at(travel: float) -> float:
        # lead the root finder there in small steps, from the nearest pose that is known
        start = min(known, key=lambda place: abs(place - travel))
        unknown = known[start]
        for step in np.linspace(start, travel, 2 + int(8.0 * abs(travel - start)))[1:]:
            unknown = rods.solve(unknown, float(step), 0.0)
        known[travel] = unknown
        return side(rods, unknown)  # type: ignore[operator]

    assert at(0.99 * limit) * at(0.0) > 0.0
    found = brentq(at, 0.99 * limit, limit + way * 0.05, xtol=1e-9)
    assert limit == pytest.approx(found, abs=1e-4)


@pytest.mark.parametrize(("seed", "spread", "way"), DEAD_CENTRES)
def test_a_limit_of_the_wheels_own_travel_is_where_its_equations_fold(
    seed: int, spread: float, way: int
) -> None:
    points = invented_points(seed, spread)
    limit = end_of(swept(front_setup(points)), way)
    rods = rods_of(points)
    unknown, places = rods.at_design(rods.points), []
    for share in 1.0 - 0.5 ** np.arange(0.0, 14.0, 0.25):
        unknown = rods.solve(unknown, float(share * limit), 0.0)
        places.append(np.linalg.det(rods.jacobian(unknown, 0.0, 0.0)))
    # the determinant dies as the square root of the distance: extrapolate its square to zero
    left = limit * 0.5 ** np.arange(0.0, 14.0, 0.25)
    (slope, offset), *_ = np.polyfit(np.abs(left[-8:]), np.square(places[-8:]), 1, full=True)
    assert offset / slope == pytest.approx(0.0, abs=2e-3)
    with pytest.raises(AssertionError, match="root finder stopped"):
        rods.solve(unknown, limit + way * 0.5, 0.0)


@pytest.mark.parametrize(("seed", "spread", "way"), UPPER_ENDS + TIE_ENDS + DEAD_CENTRES)
def test_flags_change_at_the_limit_and_nothing_beyond_it_is_shown(
    seed: int, spread: float, way: int
) -> None:
    setup = front_setup(invented_points(seed, spread))
    car = FRONT.solve(setup, FRONT.ranges(setup))
    limit = end_of(car, way)
    inside, outside = limit - way * 1e-3, limit + way * 1e-3
    near = sweep_at(car.front, "travel", [inside, outside, limit + way * 30.0])
    assert near.reached.tolist() == [True, False, False]
    for sweep in (car.travel, car.roll, car.steer, near):
        for result in RESULTS:
            if result.key not in sweep.values:
                continue
            shown = values_over(sweep, result)
            assert not np.isinf(shown).any()
            assert np.isnan(shown[~sweep.reached]).all()
    np.testing.assert_array_equal(
        car.travel.reached,
        (car.travel.at >= car.line.lowest[0]) & (car.travel.at <= car.line.highest[0]),
    )


@pytest.mark.parametrize(("seed", "spread", "way"), UPPER_ENDS)
def test_what_opens_is_said_with_both_distances_and_the_limit(
    seed: int, spread: float, way: int
) -> None:
    points = invented_points(seed, spread)
    study = swept(front_setup(points))
    limit = end_of(study, way)
    said = explain(study.front, study.line, limit + way * 10.0)
    assert isinstance(said, Unreachable)
    assert {said.first, said.second} == {"front.lower_ball", "front.upper_ball"}
    assert said.wanted == pytest.approx(math.dist(points["lower_ball"], points["upper_ball"]))
    assert said.available > said.wanted
    assert said.limit == pytest.approx(limit, abs=1e-9)


def test_dense_sweeps_have_no_holes_and_nothing_beyond_their_ends() -> None:
    none, ended = np.zeros(0), 0
    for seed in range(30):
        points = invented_points(seed, (30.0, 60.0, 90.0, 120.0, 150.0)[seed % 5])
        study = swept(front_setup(points), Ask(np.arange(-150.0, 150.1, 0.5), none, none))
        at, low, high = study.travel.at, study.line.lowest, study.line.highest
        ended += bool(study.line.ends_low.any() or study.line.ends_high.any())
        inside = ((at > low + 1e-4) & (at < high - 1e-4)).all(axis=0)
        outside = ((at < low - 1e-4) | (at > high + 1e-4)).any(axis=0)
        assert study.travel.reached[inside].all(), seed
        assert not study.travel.reached[outside].any(), seed
    assert ended > 10


def test_rates_grow_without_end_towards_a_fold_but_stay_numbers() -> None:
    study = swept(front_setup(invented_points(2, 60.0)))
    limit = end_of(study, -1)
    travel = limit + np.array([4.0, 1.0, 0.25, 0.0625])
    sweep = pose_front(study.front, travel, np.zeros(4), np.zeros(4))
    assert sweep.reached.all()
    growth = np.abs(sweep.values["camber_gain"][0])
    # as 1/sqrt(distance): doubled at every quarter of the way
    np.testing.assert_allclose(growth[2:] / growth[1:-1], 2.0, rtol=0.1)


@pytest.mark.parametrize("seed", typical_of((4, 27, 29, 32, 36), (27,)))
def test_flags_are_where_a_root_finder_led_from_design_loses_the_branch(seed: int) -> None:
    # steer first at zero travel, then travel, a millimetre or two a step
    points = invented_points(seed, 25.0)
    rods, front = rods_of(points), built(front_setup(points))
    racks, travels = np.linspace(-60.0, 60.0, 5), np.linspace(-80.0, 80.0, 9)
    design = rods.at_design(rods.points)

    def lead(
        unknown: np.ndarray | None, start: tuple[float, float], end: tuple[float, float]
    ) -> np.ndarray | None:
        count = 1 + int(max(abs(end[0] - start[0]), abs(end[1] - start[1])) / 1.5)
        for travel, rack in np.linspace(start, end, count + 1)[1:]:
            if unknown is None:
                return None
            try:
                unknown = rods.solve(unknown, float(travel), float(rack))
            except AssertionError:
                return None
            steered = RodCorner(
                {**rods.points, "tie_inner": rods.points["tie_inner"] + (0.0, rack, 0.0)},
                rods.lengths,
                rods.hub,
            )
            kept = [f(steered, unknown) * f(rods, design) > 0.0 for f in (upper_side, tie_side)]
            unknown = unknown if all(kept) else None
        return unknown

    left = {}
    for rack in racks:
        steered = lead(design, (0.0, 0.0), (0.0, float(rack)))
        for path in (travels[4::-1], travels[4:]):
            unknown, before = steered, 0.0
            for travel in path:
                unknown = lead(unknown, (before, float(rack)), (float(travel), float(rack)))
                before = float(travel)
                left[float(rack), float(travel)] = unknown is not None
    for (rack, travel), reached in left.items():
        # the right wheel steers the other way
        both = reached and left[-rack, travel]
        found = pose_front(front, *np.array([[travel], [0.0], [rack]])).reached[0]
        assert found == both, (rack, travel)
    assert len(set(left.values())) == 2


def test_a_far_longer_travel_than_any_is_refused_not_wrapped_round() -> None:
    front = built(front_setup())
    sweep = sweep_at(front, "travel", [-900.0, -300.0, 0.0, 300.0, 900.0, 5000.0])
    assert sweep.reached.tolist()[2] is True
    assert not sweep.reached[[0, 4, 5]].any()
    roll = sweep_at(front, "roll", np.radians([-44.0, -20.0, -8.0, 8.0, 20.0, 44.0, 80.0]).tolist())
    assert roll.reached.tolist() == [*roll.reached[:-1][::-1].tolist(), False]
    assert roll.reached[2:4].all()


def test_steering_past_the_tie_rods_end_stays_out_of_reach_even_where_it_closes_again() -> None:
    front = built(front_setup())
    rack = np.arange(-300.0, 301.0, 5.0)
    sweep = sweep_at(front, "steer", rack.tolist())
    reached = np.flatnonzero(sweep.reached)
    assert 0 < reached[0] < rack.size // 2 < reached[-1] < rack.size - 1
    assert (np.diff(reached) == 1).all()
    assert np.abs(sweep.values["toe"][:, reached]).max() < np.radians(95.0)


ROLLED = ((61, 60.0), (191, 120.0), (127, 120.0), (3, 120.0), (40, 30.0), (2, 90.0))


@pytest.mark.parametrize(("seed", "spread"), typical_of(ROLLED, ROLLED[:3]))
def test_rolls_are_reached_as_far_as_both_contacts_find_one_road(seed: int, spread: float) -> None:
    # both wheels in small steps of travel; then, roll by roll, is there a place on one road?
    none = np.zeros(0)
    study = swept(
        front_setup(invented_points(seed, spread)), Ask(np.arange(-200.0, 200.01, 0.05), none, none)
    )
    front, wide = study.front, study.travel
    axle, hub = wide.poses.linkage.axle, wide.poses.linkage.wheel_centre
    middle = wide.at.size // 2
    room = int(min(wide.reached[:middle].sum(), wide.reached[middle + 1 :].sum()))
    apart = np.arange(room + 1)

    def height(side: int, index: np.ndarray, roll: float) -> np.ndarray:
        across = math.sin(roll) if side == 0 else -math.sin(roll)
        lean = across * axle[1][side, index] + math.cos(roll) * axle[2][side, index]
        place = across * hub[1][side, index] + math.cos(roll) * hub[2][side, index]
        return place - 305.0 * np.sqrt(1.0 - lean * lean)

    rolls = np.radians(np.linspace(0.05, 11.0, 45))
    there = []
    for roll in rolls:
        gap = height(0, middle - apart, roll) - height(1, middle + apart, roll)
        there.append(bool((gap[:-1] * gap[1:] <= 0.0).any()))
    found = sweep_at(front, "roll", rolls.tolist()).reached
    # the very last one may lie between the steps
    assert (found != np.array(there)).sum() <= 1
    assert found.tolist() == sorted(found.tolist(), reverse=True)


def test_a_pose_off_straight_ahead_is_reached_by_steering_first() -> None:
    # asked in any order, one by one or together, the same poses are reached
    front = built(front_setup(invented_points(4, 25.0)))
    travel, rack = np.meshgrid(np.linspace(-80, 80, 5), np.linspace(-60, 60, 5))
    together = pose_front(front, travel.ravel(), np.zeros(25), rack.ravel())
    alone = [
        pose_front(front, np.array([z]), np.zeros(1), np.array([s])).reached[0]
        for z, s in zip(travel.ravel(), rack.ravel(), strict=True)
    ]
    assert together.reached.tolist() == alone
    assert not together.reached.all()  # this one can't be steered to full lock
    assert together.reached.any()


@pytest.mark.parametrize("first", typical_of(range(0, 150, 25), (0,)))
def test_a_wide_spread_of_corners_never_fails_and_never_shows_what_is_not(first: int) -> None:
    with np.errstate(all="raise"):
        for seed in range(first, first + 25):
            setup = front_setup(invented_points(seed, (30.0, 60.0, 90.0, 150.0)[seed % 4]))
            try:
                answer = FRONT.study(setup)
            except (DegenerateGeometry, OnOneLine, Unreachable):
                continue
            at_pose(answer.measured.front, Pose(40.0, 0.05, 30.0))
            for sweep in (answer.measured.travel, answer.measured.roll, answer.measured.steer):
                assert sweep is not None
                camber = sweep.values["camber"][:, sweep.reached]
                assert np.isfinite(camber).all()
                assert np.isfinite(sweep.values["roll_camber"][:, sweep.reached]).all()


def test_arms_that_end_on_one_side_only_are_told_side_by_side() -> None:
    hard = invented_points(8, 80.0)
    right = {name: (x, -y, z) for name, (x, y, z) in hard.items() if name in CORNER}
    study = swept(front_setup(PLAIN, right=right))
    lowest = study.line.lowest[:, 0]
    assert lowest[0] < -80.0 < lowest[1]
    below = study.travel.at < lowest[1]
    assert not study.travel.reached[below].any()
    assert study.travel.reached[~below].all()
    said = explain(study.front, study.line, -80.0)
    assert isinstance(said, Unreachable)
    assert said.limit == pytest.approx(lowest[1])


@pytest.mark.parametrize(
    ("points", "words"),
    [
        (
            {"upper_front": PLAIN["upper_rear"]},
            "front.upper_front.*front.upper_rear.*NO_PIVOT_LINE",
        ),
        (
            {"upper_ball": PLAIN["lower_ball"]},
            "front.upper_ball.*front.lower_ball.*NO_KINGPIN",
        ),
        (
            {"tie_inner": PLAIN["tie_outer"]},
            "front.tie_inner.*front.tie_outer.*NO_TIE_ROD",
        ),
        (
            {"lower_ball": (200.0, 303.5, 240.0)},
            "OnOneLine.*front.lower_ball.*front.lower_front.*front.lower_rear",
        ),
        (
            {"tie_outer": (-4.0, 656.0, 382.5)},
            "OnOneLine.*front.tie_outer.*front.lower_ball.*front.upper_ball",
        ),
    ],
)
def test_points_that_define_nothing_are_named(points: Points, words: str) -> None:
    with pytest.raises((DegenerateGeometry, OnOneLine), match=words):
        built(front_setup(points))


def test_a_wheel_that_falls_as_its_arm_rises_is_said_so() -> None:
    with pytest.raises(DegenerateGeometry, match="AGAINST"):
        swept(front_setup(invented_points(364, 120.0)))


def test_sweeps_of_one_pose_or_none_do_not_fail() -> None:
    front = front_setup()
    for count in (0, 1, 2):
        ask = Ask(*(np.linspace(-1.0, 1.0, count) * size for size in (30.0, 0.05, 20.0)))
        assert swept(front, ask).travel.values["camber"].shape == (2, count)


def test_a_car_that_sinks_beyond_the_swept_travel_still_settles() -> None:
    points = {"spring_arm": (-5.0, 440.0, 553.0), "spring_body": (-5.0, 430.0, 735.0)}
    ask = Ask(np.linspace(-20.0, 20.0, 61), np.zeros(0), np.zeros(0), 15.0)
    near = swept(front_setup(points, front__spring__rate=400.0))
    assert near.single["settled_travel"] == pytest.approx(0.0, abs=1e-9)
    soft = front_setup(front__spring__rate=30.0)

    measured = built(front_setup())
    softer = build_front(measured_car(soft), measured.reference)
    wide, narrow = (
        study_front(softer, Ask(np.linspace(-90, 140, 93), np.zeros(0), np.zeros(0))),
        study_front(softer, ask),
    )
    assert wide.single["settled_travel"] > 30.0
    assert narrow.single["settled_travel"] == pytest.approx(wide.single["settled_travel"], abs=1e-6)


def test_a_spring_that_can_never_carry_the_car_leaves_the_height_out() -> None:

    measured = built(front_setup())
    hopeless = build_front(measured_car(front_setup(front__spring__rate=2.0)), measured.reference)
    answer = study_front(hopeless, Ask(np.linspace(-80, 80, 61), np.zeros(0), np.zeros(0)))
    assert "settled_travel" not in answer.single
    assert answer.settled is None


def test_a_centre_over_the_contact_has_no_length_to_divide_by() -> None:
    # the arms' lines cross at (800, 316.7), right above the contact: the line to it stands upright
    camber = math.radians(-5.0)
    hub = (800.0 + 300.0 * math.sin(camber), 300.0 * math.cos(camber))
    points = planar_points(((300, 150), (600, 250)), ((300, 450), (600, 370)), hub)
    setup = front_setup(points, front__tyre_radius=300.0, front__camber=camber, front__toe=0.0)
    with np.errstate(all="raise"):
        answer = swept(setup, Ask(np.linspace(-5, 5, 11), np.zeros(0), np.zeros(0), 4.0))
    assert answer.rest.values["instant_centre_y"][0, 0] == pytest.approx(800.0, abs=1e-9)
    assert answer.rest.values["swing_arm_length"][0, 0] == pytest.approx(0.0, abs=1e-9)
    height = value_in(answer.rest, BY_KEY["roll_centre_construction"])
    assert height is None or abs(height) > 1e6
