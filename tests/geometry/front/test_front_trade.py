"""What the trade knows of lowered upper pivots (common practice, no source), on invented cars."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from app.document.model import Change, FrozenMap
from app.systems.answers import Study
from app.systems.front.study import FrontAnswers
from app.systems.front.system import FRONT
from geometry.front.sweeps import pose_front
from tests.helpers.front_setups import Points, front_setup, invented_points
from tests.helpers.long_cases import typical_of

DROP = 22.0
LOWER = Change(
    "Upper pivots lower",
    moves=FrozenMap(
        {"front.upper_front": (0.0, 0.0, -DROP), "front.upper_rear": (0.0, 0.0, -DROP)}
    ),
)
ON_LOWER_ARM = {"spring_arm": (10.0, 500.0, 250.0), "spring_body": (5.0, 455.0, 600.0)}
SEEDS = typical_of(range(16), range(4))


def lowered(points: Points, **values: object) -> Study[FrontAnswers]:
    return FRONT.study(front_setup(points, (LOWER,), **values))


def seat_share(points: Points) -> float:
    """Seat radius over arm length, of the upper arm."""
    front, rear, ball, seat = (
        np.array(points[name]) for name in ("upper_front", "upper_rear", "upper_ball", "spring_arm")
    )
    axis = (rear - front) / np.linalg.norm(rear - front)
    radius, out = ((p - front) - axis * np.dot(p - front, axis) for p in (ball, seat))
    return float(out @ radius / (radius @ radius))


def travel_at_equal_length(answer: Study[FrontAnswers]) -> float:
    """Where the proposed car's spring is as long as the measured car's at rest."""
    length = answer.measured.rest.values["spring_length"][0, 0]

    def longer(travel: float) -> float:
        at = np.array([travel])
        sweep = pose_front(answer.unsettled.front, at, np.zeros(1), np.zeros(1))
        return float(sweep.values["spring_length"][0, 0]) - length

    return float(brentq(longer, 0.0, 70.0))


@pytest.mark.parametrize("seed", SEEDS)
def test_it_makes_the_camber_gain_more_negative(seed: int) -> None:
    answer = lowered(invented_points(seed, 15.0))
    before, after = (car.rest.values["camber_gain"] for car in (answer.measured, answer.unsettled))
    assert (after < before - np.radians(0.2) / 25.4).all()


@pytest.mark.parametrize("seed", SEEDS)
def test_it_raises_the_roll_centre(seed: int) -> None:
    answer = lowered(invented_points(seed, 15.0))
    before, after = (
        car.rest.values["roll_centre_height"] for car in (answer.measured, answer.unsettled)
    )
    assert after[0] > before[0] + 10.0


@pytest.mark.parametrize("seed", SEEDS)
def test_a_coil_on_the_upper_arm_then_sits_lower_by_the_seats_rule_at_equal_length(
    seed: int,
) -> None:
    points = invented_points(seed, 15.0)
    share = seat_share(points)
    rule = DROP * (1.0 - share) / share
    sunk = travel_at_equal_length(lowered(points))
    assert rule < sunk < 1.25 * rule


@pytest.mark.parametrize("seed", SEEDS)
def test_at_equal_load_it_sinks_further_where_the_motion_ratio_falls_and_less_where_it_rises(
    seed: int,
) -> None:
    answer = lowered(invented_points(seed, 15.0))
    settled, level = answer.unsettled.single["settled_travel"], travel_at_equal_length(answer)
    assert settled > 0.6 * level
    there = answer.unsettled.settled
    assert there is not None
    ratio = there.values["spring_motion_ratio"][0, 0]
    fell = ratio < answer.measured.rest.values["spring_motion_ratio"][0, 0]
    assert (settled > level) == fell


@pytest.mark.parametrize("seed", SEEDS)
def test_a_coil_on_the_lower_arm_hardly_sinks(seed: int) -> None:
    points = invented_points(seed, 15.0) | ON_LOWER_ARM
    answer = lowered(points, front__spring__on="lower arm")
    assert abs(answer.unsettled.single["settled_travel"]) < 0.2 * DROP
    before, after = (
        car.rest.values["spring_length"] for car in (answer.measured, answer.unsettled)
    )
    assert after == pytest.approx(before, abs=0.5)


@pytest.mark.parametrize("on", ["upper arm", "lower arm"])
def test_the_settled_car_carries_the_measured_load_on_the_same_spring(on: str) -> None:
    points = {} if on == "upper arm" else ON_LOWER_ARM
    answer = lowered(points, front__spring__on=on)
    there, rest = answer.unsettled.settled, answer.measured.rest
    assert there is not None
    load = [
        sweep.values["spring_force"][0, 0] * sweep.values["spring_motion_ratio"][0, 0]
        for sweep in (rest, there)
    ]
    weight = 0.5 * (1240.0 * 0.54 - 82.0) * 9.80665
    assert load == pytest.approx([weight, weight], abs=1e-5)
    # the same free length: force and length at both heights lie on one line of the spring's rate
    force, length = (
        [sweep.values[key][0, 0] for sweep in (rest, there)]
        for key in ("spring_force", "spring_length")
    )
    assert force[1] - force[0] == pytest.approx(-52.0 * (length[1] - length[0]), abs=1e-6)
    assert answer.measured.single["settled_travel"] == pytest.approx(0.0, abs=1e-9)


def test_a_stiffer_spring_of_the_same_free_length_lifts_the_car() -> None:
    stiffer = Change("Stiffer", sets=FrozenMap({"front.spring.rate": 60.0}))
    answer = FRONT.study(front_setup(changes=(stiffer,)))
    settled = answer.unsettled.single["settled_travel"]
    assert settled < -10.0
    longer = Change("Longer", sets=FrozenMap({"front.spring.free_length": 310.0}))
    answer = FRONT.study(front_setup(changes=(longer,), front__spring__free_length=300.0))
    # 10 mm more of free length lift the wheel by about that over the motion ratio
    ratio = answer.measured.rest.values["spring_motion_ratio"][0, 0]
    assert answer.unsettled.single["settled_travel"] == pytest.approx(-10.0 / ratio, rel=0.2)
