"""Searches against a general optimiser with many starts, known roots, linear algebra, grids."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import radians

import numpy as np
import pytest
from scipy.optimize import minimize

from app.document.model import Limit, Setup
from app.document.plans import Adjuster, Room, Want
from app.judge.find import find
from app.judge.freedoms import FindError, freedoms_of, with_moves
from app.systems.every import given_systems
from app.systems.front.system import FRONT
from app.systems.limits import Extreme, readings
from app.systems.rear.system import REAR
from tests.helpers.entering import sample

pytestmark = pytest.mark.gui

GAIN = radians(1.0) / 25.0  # a degree per 25 mm
UPPER_FRONT, UPPER_REAR = "front.upper_front", "front.upper_rear"
PIVOTS = {
    UPPER_FRONT: Room(z=(-30.0, 10.0)),
    UPPER_REAR: Room(z=(-30.0, 10.0), alike=UPPER_FRONT),
}
TIE_ROD = {"front.tie_outer": Room(z=(-12.0, 12.0))}
CAMBER_GAIN = Want("front.camber_gain", -0.5 * GAIN, within=0.01 * GAIN, kind="angle per length")
BUMP_STEER = Want("front.bump_steer", 0.0, within=0.005 * GAIN, kind="angle per length")


def saloon(**more: object) -> Setup:
    return sample("small_saloon").having(changes=(), limits={}, **more)


def found_value(setup: Setup, key: str) -> float:
    end, name = key.split(".")
    system = {"front": FRONT, "rear": REAR}[end]
    car = system.study(setup).proposed
    result = next(each for each in car.results if each.key == name)
    return next(iter(readings(car, result))).value


def front_readings(setup: Setup, name: str) -> list[Extreme]:
    car = FRONT.study(setup).proposed
    result = next(each for each in car.results if each.key == name)
    return list(readings(car, result))


def test_what_was_found_put_back_gives_what_was_wanted() -> None:
    setup = saloon(wants=(CAMBER_GAIN, BUMP_STEER), rooms={**PIVOTS, **TIE_ROD})
    search = find(setup)
    assert search is not None
    answer = search.answer
    assert answer.is_met
    assert search.batches <= 60
    for want in answer.wants:
        assert want.reached == pytest.approx(found_value(answer.setup, want.want.result), rel=1e-9)
        assert want.reached == pytest.approx(want.want.value, abs=2e-3 * want.want.within)
    moves = answer.setup.changes[-1].moves
    assert moves[UPPER_FRONT] == moves[UPPER_REAR]  # alike
    assert set(moves) == {UPPER_FRONT, UPPER_REAR, "front.tie_outer"}


def test_the_least_move_agrees_with_a_general_optimiser_with_many_starts() -> None:
    """scipy.optimize.minimize (SLSQP on the cars themselves) from six starts as judge."""
    rooms = {**PIVOTS, **TIE_ROD, "front.lower_rear": Room(z=(-8.0, 16.0))}
    setup = saloon(wants=(CAMBER_GAIN, BUMP_STEER), rooms=rooms)
    search = find(setup)
    assert search is not None
    freedoms = freedoms_of(setup)
    widths = np.array([f.width for f in freedoms])
    costs = np.array([1.0 + len(f.followers) for f in freedoms])

    def missed(shares: np.ndarray) -> np.ndarray:
        values = FRONT.study(with_moves(setup, freedoms, shares * widths)).proposed.rest.values
        return np.array(
            [
                (values["camber_gain"][0, 0] + 0.5 * GAIN) / (0.01 * GAIN),
                values["bump_steer"][0, 0] / (0.005 * GAIN),
            ]
        )

    random = np.random.default_rng(5)
    best = np.inf
    for _ in range(6):
        start = random.uniform(-0.3, 0.3, len(freedoms))
        judge = minimize(
            lambda x: float((costs * x**2).sum()),
            start,
            method="SLSQP",
            bounds=[(f.low / f.width, f.high / f.width) for f in freedoms],
            constraints=[{"type": "eq", "fun": missed}],
            options={"maxiter": 60},
        )
        if judge.success:
            best = min(best, float(judge.fun))
    assert search.answer.size == pytest.approx(best, rel=5e-3)


def test_a_small_move_is_the_least_norm_of_linear_algebra() -> None:
    """One want a little off: by hand dx = W J' (J W J')^-1 b from differences of whole cars."""
    rooms = {**PIVOTS, **TIE_ROD, "front.lower_rear": Room(z=(-8.0, 16.0))}
    bare = saloon(rooms=rooms)
    now = found_value(bare, "front.camber_gain")
    want = Want("front.camber_gain", now - 0.01 * GAIN, within=0.001 * GAIN)
    search = find(bare.having(wants=(replace(want, kind="angle per length"),)))
    assert search is not None
    freedoms = freedoms_of(bare)
    slopes = np.array(
        [
            (
                found_value(with_moves(bare, freedoms, row), "front.camber_gain")
                - found_value(with_moves(bare, freedoms, -row), "front.camber_gain")
            )
            / 0.2
            for row in np.eye(len(freedoms)) * 0.1
        ]
    )
    inverse = np.array([f.width**2 / (1 + len(f.followers)) for f in freedoms])
    least = inverse * slopes * (-0.01 * GAIN) / (slopes**2 * inverse).sum()
    assert np.array(search.answer.moves) == pytest.approx(least, rel=0.02, abs=2e-3)


def test_a_known_root_by_hand() -> None:
    """A block under the axle lowers the car by its own height: 25 of 25 mm."""
    want = Want("rear.settled_travel", 25.0, kind="length")
    setup = saloon(wants=(want,), rooms={"rear.block": Room(span=(0.0, 40.0))})
    setup = setup.having(evidence={**setup.readings, "rear.block": 0.0})
    search = find(setup)
    assert search is not None
    assert search.answer.setup.changes[-1].sets["rear.block"] == pytest.approx(25.0, abs=0.05)


def test_where_not_all_can_be_had_the_bound_its_price_and_the_want_are_told() -> None:
    """Room for 6 mm only; the price is what 1 mm more of room then brings, sought anew."""
    narrow = {key: replace(room, z=(-6.0, 6.0)) for key, room in PIVOTS.items()}
    setup = saloon(wants=(CAMBER_GAIN,), rooms=narrow)
    search = find(setup)
    assert search is not None
    answer = search.answer
    assert not answer.is_met
    assert answer.at_bound == (f"{UPPER_FRONT}.z min",)
    (price,) = answer.prices
    wider = find(
        saloon(
            wants=(CAMBER_GAIN,),
            rooms={key: replace(room, z=(-7.0, 6.0)) for key, room in PIVOTS.items()},
        )
    )
    assert wider is not None
    brought = wider.answer.wants[0].reached - answer.wants[0].reached
    assert price.per_mm == pytest.approx(brought, rel=0.05)
    assert price.want == "front.camber_gain"


def test_a_limit_is_a_wall_and_one_that_is_broken_becomes_a_want() -> None:
    height = found_value(saloon(), "front.roll_centre_height")
    rooms, want = PIVOTS, CAMBER_GAIN
    wall = {"front.roll_centre_height": Limit(maximum=height + 5.0, kind="length")}
    search = find(saloon(wants=(want,), rooms=rooms).having(limits=wall))
    assert search is not None
    answer = search.answer
    assert not answer.broken
    assert not answer.is_met
    assert answer.at_limit == ("front.roll_centre_height",)
    at = found_value(answer.setup, "front.roll_centre_height")
    assert at == pytest.approx(height + 5.0, abs=0.05)
    broken = {"front.roll_centre_height": Limit(minimum=height + 5.0, kind="length")}
    mended = find(saloon(wants=(), rooms=rooms).having(limits=broken))
    assert mended is not None
    assert found_value(mended.answer.setup, "front.roll_centre_height") >= height + 4.99


def test_steps_are_the_best_of_their_neighbours_by_a_grid() -> None:
    """All moves in steps of 2 mm about the answer, each a whole car."""
    wants = (replace(CAMBER_GAIN, within=0.05 * GAIN), replace(BUMP_STEER, within=0.02 * GAIN))
    setup = saloon(wants=wants, rooms={**PIVOTS, **TIE_ROD})
    search, free = find(setup, 2.0), find(setup)
    assert search is not None
    assert free is not None
    moves = np.array(search.answer.moves)
    assert np.abs(moves / 2.0 - np.round(moves / 2.0)).max() < 1e-9
    assert search.answer.is_met
    freedoms = freedoms_of(setup)
    start = np.round(np.array(free.answer.moves) / 2.0) * 2.0
    best = np.inf
    for shift in product((-4.0, -2.0, 0.0, 2.0, 4.0), repeat=2):
        row = start + np.array(shift)
        car = with_moves(setup, freedoms, row.tolist())
        met = all(abs(found_value(car, w.result) - w.value) <= w.within for w in wants)
        size = sum(f.weight * m**2 for f, m in zip(freedoms, row, strict=True))
        best = min(best, size if met else np.inf)
    assert search.answer.size == pytest.approx(best, rel=1e-6)


def test_wants_that_ask_for_the_same_are_told() -> None:
    ride = Want("front.wheel_rate", at_least=14.0, kind="spring rate")
    same = Want("front.ride_frequency", at_least=1.2, kind="frequency")
    search = find(saloon(wants=(ride, same), rooms={"front.spring.rate": Room(span=(60.0, 90.0))}))
    assert search is not None
    assert search.same == (("front.wheel_rate", "front.ride_frequency"),)


def test_values_that_exist_in_steps_take_one_of_these() -> None:
    ride = Want("front.wheel_rate", at_least=14.0, kind="spring rate")
    rooms = {"front.spring.rate": Room(steps=(55.0, 65.0, 75.0, 85.0))}
    search = find(saloon(wants=(ride,), rooms=rooms))
    assert search is not None
    assert search.answer.setup.changes[-1].sets["front.spring.rate"] in (65.0, 75.0, 85.0)
    assert search.answer.is_met


def test_a_search_can_be_stopped() -> None:
    asked = []

    def going() -> bool:
        asked.append(1)
        return len(asked) < 3

    assert find(saloon(wants=(CAMBER_GAIN,), rooms=PIVOTS), going=going) is None


@pytest.mark.parametrize(
    ("rooms", "wants", "words"),
    [
        ({}, (CAMBER_GAIN,), "nothing may move"),
        (PIVOTS, (Want("front.damper_bump_travel", 1.0),), "isn't known of this car"),
        (
            {**PIVOTS, UPPER_REAR: Room(z=(20.0, 30.0), alike=UPPER_FRONT)},
            (CAMBER_GAIN,),
            "no room in common",
        ),
        ({UPPER_REAR: Room(alike=UPPER_FRONT)}, (CAMBER_GAIN,), "which has no room"),
    ],
)
def test_what_cannot_be_sought_is_said(
    rooms: dict[str, Room], wants: tuple[Want, ...], words: str
) -> None:
    with pytest.raises(FindError, match=words):
        find(saloon(rooms=rooms, wants=wants))


def test_every_sample_is_searched_over_both_ends_without_an_error() -> None:
    for name in ("small_saloon", "torsion_coupe", "hillclimb_special", "inch_sedan"):
        setup = sample(name)
        ends = [system.key for system in given_systems(setup)]
        rooms = {UPPER_FRONT: Room(z=(-20.0, 20.0)), UPPER_REAR: Room(z=(-20.0, 20.0))}
        wants = [Want("front.roll_centre_height", at_least=60.0, kind="length")]
        if "rear" in ends:
            wants.append(Want("rear.roll_centre_height", keep=True, kind="length"))
        assert find(setup.having(rooms=rooms, wants=tuple(wants))) is not None


def test_a_limit_that_is_kept_now_is_never_given_up_for_a_want() -> None:
    """Raising the body to the measured height takes toe past its range: by whole cars, a grid."""
    wanted = Want("front.settled_travel", 0.0, kind="length")
    rooms = {"front.spring.free_length": Room(span=(300.0, 345.0))}
    setup = sample("small_saloon").having(wants=(wanted,), rooms=rooms)
    most = setup.limits["front.bump_steer_range"].maximum
    assert most is not None
    kept = []
    for length in np.linspace(320.0, 335.0, 31).tolist():
        car = with_moves(setup, freedoms_of(setup), [length - 319.0])
        if max(each.value for each in front_readings(car, "bump_steer_range")) <= most:
            kept.append(found_value(car, "front.settled_travel"))
    for step in (None, 0.5, 4.0):
        search = find(setup, step)
        assert search is not None
        for answer in (search.answer, *search.others):
            assert not answer.broken
            assert not answer.is_met
            reached = answer.wants[0].reached
            assert reached is not None
            assert reached >= min(kept) - 0.5
            assert step == 4.0 or reached == pytest.approx(min(kept), abs=0.6)


def test_a_swing_is_asked_at_the_stops_of_each_car_where_that_stands() -> None:
    """Lower cars have less bump left: the joint that swings too far now then doesn't."""
    wanted = Want("front.settled_travel", 45.0, kind="length")
    rooms = {"front.spring.free_length": Room(span=(300.0, 345.0))}
    search = find(sample("small_saloon").having(wants=(wanted,), rooms=rooms))
    assert search is not None
    assert search.answer.is_met
    swings = front_readings(search.answer.setup, "upper_ball_swing")
    assert max(each.value for each in swings) < radians(24.0)


def test_a_right_hand_points_room_is_sought_on_its_own_wheel() -> None:
    """Only the right one moves: both wheels must keep a want, and the left one keeps its value."""
    rooms = {"front.right.tie_outer": Room(z=(-12.0, 12.0))}
    search = find(saloon(wants=(BUMP_STEER,), rooms=rooms))
    assert search is not None
    (moved,) = search.answer.moves
    assert moved != 0.0
    left, right = (each.value for each in front_readings(search.answer.setup, "bump_steer"))
    assert left == pytest.approx(found_value(saloon(), "front.bump_steer"), rel=0.01)
    assert abs(right) < 0.1 * abs(left)


def test_a_right_hand_point_that_stays_does_not_mirror_the_left_one() -> None:
    rooms = {key: Room(z=(-12.0, 12.0)) for key in ("front.tie_outer", "front.right.tie_outer")}
    setup = saloon(rooms=rooms)
    car = with_moves(setup, freedoms_of(setup), [3.0, 0.0], drop_still=True)
    _, right = (each.value for each in front_readings(car, "bump_steer"))
    assert right == pytest.approx(found_value(saloon(), "front.bump_steer"), rel=0.01)


def unlike(**more: object) -> Setup:
    """Return the saloon with its right upper arm bolted 5 mm higher at the front."""
    setup = saloon(**more)
    return setup.having(
        evidence={**setup.readings, "front.right.upper_front": (98.0, -372.0, 565.0)}
    )


@pytest.mark.parametrize("name", ["camber_gain", "upper_ball_swing"])
def test_as_found_is_of_each_wheel_what_that_has(name: str) -> None:
    """A car on which nothing was done is as found: nothing moves, though its sides are unlike."""
    search = find(unlike(wants=(Want(f"front.{name}", keep=True, kind="angle"),), rooms=PIVOTS))
    assert search is not None
    assert search.answer.is_met
    assert search.answer.size < 1e-9
    left, right = (each.value for each in front_readings(unlike(), name)[:2])
    assert left != pytest.approx(right, rel=1e-4)


@pytest.mark.parametrize("degrees", [0.2, 0.5])
def test_a_range_that_shall_be_something_is_that_and_not_less(degrees: float) -> None:
    name = "front.bump_steer_range"
    for want in (Want(name, radians(degrees)), Want(name, at_least=radians(degrees))):
        search = find(saloon(wants=(replace(want, kind="angle"),), rooms=TIE_ROD))
        assert search is not None
        assert search.answer.is_met
        most = [each.value for each in front_readings(search.answer.setup, "bump_steer_range")]
        assert most == pytest.approx([radians(degrees)] * 2, abs=radians(0.002))


def test_a_range_of_unlike_wheels_is_refused_but_for_at_most() -> None:
    name = "front.bump_steer_range"
    with pytest.raises(FindError, match="unlike here: want it to be at most"):
        find(unlike(wants=(Want(name, at_least=0.01, kind="angle"),), rooms=TIE_ROD))
    search = find(unlike(wants=(Want(name, at_most=0.01, kind="angle"),), rooms=TIE_ROD))
    assert search is not None
    assert search.answer.is_met


def test_a_swing_that_shall_be_something_is_the_most_of_each_wheel() -> None:
    want = Want("front.upper_ball_swing", radians(22.0), kind="angle")
    search = find(saloon(wants=(want,), rooms=PIVOTS))
    assert search is not None
    assert search.answer.is_met
    most = max(each.value for each in front_readings(search.answer.setup, "upper_ball_swing"))
    assert most == pytest.approx(radians(22.0), abs=radians(0.02))


def test_nought_of_a_kind_without_a_usual_nearness_is_met_within_its_last_place() -> None:
    want = Want("rear.roll_steer", 0.0, kind="angle per angle")
    room = {"rear.rear_eye": Room(z=(-60.0, 60.0)), "rear.front_eye": Room(z=(-60.0, 60.0))}
    search = find(saloon(wants=(want,), rooms=room))
    assert search is not None
    assert search.answer.wants[0].within == pytest.approx(0.001)
    assert search.answer.is_met


@pytest.mark.parametrize("step", [None, 4.0])
def test_others_miss_no_more_than_the_answer(step: float | None) -> None:
    """A swing of 40° can't be had: lower pivots come nearer to it by bump, higher ones by rebound.

    Both are ends of the room from which no small step helps, but only one is the nearest.
    """
    swing = Want("front.upper_ball_swing", at_least=radians(40.0), kind="angle")
    rooms = {key: replace(room, z=(-16.0, 12.0)) for key, room in PIVOTS.items()}
    search = find(saloon(wants=(swing,), rooms=rooms), step)
    assert search is not None
    assert not search.answer.is_met
    told = [search.answer, *search.others]
    assert len({answer.moves for answer in told}) == len(told)
    most = [answer.wants[0].reached for answer in told]
    assert search.answer.moves == (12.0,)
    assert min(most) > radians(26.0)  # -16 mm: less than 23


def test_what_has_no_steps_is_sought_anew_for_what_has() -> None:
    """Springs come in few rates: for the one taken, the free length meets the height exactly."""
    rate = Want("front.wheel_rate", at_least=14.0, kind="spring rate")
    height = Want("front.settled_travel", 0.0, kind="length", within=0.1)
    rooms = {
        "front.spring.rate": Room(steps=(55.0, 75.0, 95.0)),
        "front.spring.free_length": Room(span=(270.0, 345.0)),
    }
    search = find(saloon(wants=(rate, height), rooms=rooms))
    assert search is not None
    assert search.answer.is_met
    assert found_value(search.answer.setup, "front.settled_travel") == pytest.approx(0.0, abs=0.02)


def test_a_step_is_of_lengths_only() -> None:
    """A wedge is an angle: no step of half a millimetre is one of half a radian."""
    setup = saloon(wants=(Want("rear.pinion_angle", radians(3.0), kind="angle"),))
    rooms = {"rear.wedge": Room(span=(radians(-4.0), radians(4.0)))}
    setup = setup.having(rooms=rooms, evidence={**setup.readings, "rear.wedge": 0.0})
    with_step, without = find(setup, 0.5), find(setup)
    assert with_step is not None
    assert without is not None
    assert with_step.answer.moves == pytest.approx(without.answer.moves, abs=1e-6)
    assert with_step.answer.moves[0] != 0.0


@pytest.mark.parametrize("have", [(), (4.0, 2.0)])
def test_an_adjuster_gives_the_packs_that_its_shims_make(have: tuple[float, ...]) -> None:
    """The best of all packs, by whole cars: twos and fives up to 15 mm, 6 mm apart at most."""
    wants = (Want("front.camber", radians(-0.4), kind="angle"),)
    adjuster = Adjuster(
        at=(UPPER_FRONT, UPPER_REAR), inboard=True, fitted=(4.0, 9.0), sizes=(2.0, 5.0)
    )
    adjuster = replace(adjuster, most=15.0, apart=6.0, have=have)
    setup = saloon(wants=wants, rooms={"front.upper_shims": Room(by_adjuster=True)})
    setup = setup.having(adjusters={"front.upper_shims": adjuster})
    search = find(setup)
    assert search is not None
    counts = [range(int(n) + 1) for n in have] or [range(8), range(4)]
    made = {2.0 * twos + 5.0 * fives for twos, fives in product(*counts)}
    packs = [4.0 + search.answer.moves[0], 9.0 + search.answer.moves[1]]
    assert all(min(abs(pack - each) for each in made) < 1e-6 for pack in packs)
    assert max(packs) <= 15.0
    assert abs(packs[0] - packs[1]) <= 6.0
    if not have:
        cars = [
            with_moves(setup, freedoms_of(setup), [front - 4.0, rear - 9.0])
            for front, rear in product(made, repeat=2)
            if max(front, rear) <= 15.0 and abs(front - rear) <= 6.0
        ]
        best = min(abs(found_value(car, "front.camber") - radians(-0.4)) for car in cars)
        reached = search.answer.wants[0].reached
        assert abs(reached - radians(-0.4)) <= max(best, radians(0.02)) + 1e-9


def test_a_price_is_told_once_and_by_the_unit_of_what_is_bound() -> None:
    """A degree more of wedge, and not a radian, brings what a search with a degree more brings."""

    def with_wedge(most: float) -> Setup:
        want = Want("rear.pinion_angle", radians(8.0), kind="angle")
        rooms = {"rear.wedge": Room(span=(radians(-most), radians(most)))}
        setup = saloon(wants=(want,), rooms=rooms)
        return setup.having(evidence={**setup.readings, "rear.wedge": 0.0})

    search, wider = find(with_wedge(2.0)), find(with_wedge(3.0))
    assert search is not None
    assert wider is not None
    (price,) = search.answer.prices
    brought = wider.answer.wants[0].reached - search.answer.wants[0].reached
    assert price.per_mm == pytest.approx(brought, rel=0.05)
    narrow = {key: replace(room, z=(-6.0, 6.0)) for key, room in PIVOTS.items()}
    both = find(unlike(wants=(CAMBER_GAIN,), rooms=narrow))
    assert both is not None
    assert len(both.answer.prices) == 1


def test_a_room_in_which_no_car_can_be_built_is_said() -> None:
    rooms = {"front.upper_ball": Room(z=(-900.0, -800.0))}
    with pytest.raises(FindError, match="no car can be built inside the room"):
        find(saloon(wants=(CAMBER_GAIN,), rooms=rooms))
    links = {"rear.lower_body": Room(z=(-5.0, 5.0))}
    with pytest.raises(FindError, match="may move, but this car has no such point"):
        find(saloon(wants=(CAMBER_GAIN,), rooms=links))


def test_work_on_one_end_gives_up_no_limit_of_the_other() -> None:
    """A lower front leans the car nose down, which takes some of the rear's anti-squat."""
    wanted = Want("front.settled_travel", 45.0, kind="length")
    rooms = {"front.spring.free_length": Room(span=(300.0, 345.0))}
    setup = saloon(wants=(wanted,), rooms=rooms)
    free = find(setup)
    assert free is not None
    now, then = (found_value(car, "rear.anti_squat") for car in (setup, free.answer.setup))
    half = Limit(*sorted((now - (then - now), 0.5 * (now + then))), kind="percent")
    search = find(setup.having(limits={"rear.anti_squat": half}))
    assert search is not None
    assert not search.answer.broken
    assert search.answer.at_limit == ("rear.anti_squat",)
    assert 0.0 < search.answer.moves[0] / free.answer.moves[0] < 1.0


def test_cars_that_are_settled_one_by_one_settle_where_a_single_one_does() -> None:
    """A ball joint that is far out: no few steps lead to where its springs carry the load."""
    setup = saloon(rooms={"front.upper_ball": Room(y=(800.0, 900.0))})
    cars = [with_moves(setup, freedoms_of(setup), [move]) for move in (820.0, 850.0)]
    many = FRONT.solve_many(cars, ("settled_travel",)).values["settled_travel"]
    each = [FRONT.solve(car).single.get("settled_travel", np.nan) for car in cars]
    assert many == pytest.approx(each, abs=1e-3, nan_ok=True)
