"""Limits are walls to a search, and each wheel counts for itself."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import pytest
from scipy.optimize import brentq

from app.document.model import Limit, Setup
from app.document.plans import Room, Want
from app.judge.find import find
from app.judge.freedoms import FindError, freedoms_of, with_moves
from tests.helpers.entering import sample
from tests.helpers.long_cases import LONG, typical_of
from tests.helpers.sought import (
    BUMP_STEER,
    PIVOTS,
    TIE_ROD,
    found_value,
    front_readings,
    saloon,
    unlike,
)

pytestmark = pytest.mark.gui


@pytest.mark.parametrize("step", typical_of((None, 0.5, 4.0), (None,)))
def test_a_limit_that_is_kept_now_is_never_given_up_for_a_want(step: float | None) -> None:
    """Raising the body to the measured height takes toe past its range: by scipy, of whole cars."""
    wanted = Want("front.settled_travel", 0.0, kind="length")
    rooms = {"front.spring.free_length": Room(span=(300.0, 345.0))}
    setup = sample("small_saloon").having(wants=(wanted,), rooms=rooms)
    most = setup.limits["front.bump_steer_range"].maximum
    assert most is not None

    def longer(by: float) -> Setup:
        return with_moves(setup, freedoms_of(setup), [by])

    def past(by: float) -> float:
        return max(each.value for each in front_readings(longer(by), "bump_steer_range")) - most

    least = found_value(longer(brentq(past, 1.0, 16.0, xtol=0.01)), "front.settled_travel")
    search = find(setup, step)
    assert search is not None
    assert "front.bump_steer_range" in search.answer.at_limit  # in whatever steps
    for answer in (search.answer, *search.others):
        assert not answer.broken
        assert not answer.is_met
        reached = answer.wants[0].reached
        assert reached is not None
        assert reached >= least - 0.1
        assert step == 4.0 or reached == pytest.approx(least, abs=0.6)


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


@pytest.mark.parametrize("name", typical_of(("camber_gain", "upper_ball_swing"), ("camber_gain",)))
def test_as_found_is_of_each_wheel_what_that_has(name: str) -> None:
    """A car on which nothing was done is as found: nothing moves, though its sides are unlike."""
    search = find(unlike(wants=(Want(f"front.{name}", keep=True, kind="angle"),), rooms=PIVOTS))
    assert search is not None
    assert search.answer.is_met
    assert search.answer.size < 1e-9
    left, right = (each.value for each in front_readings(unlike(), name)[:2])
    assert left != pytest.approx(right, rel=1e-4)


@pytest.mark.parametrize("degrees", typical_of((0.2, 0.5), (0.2,)))
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


@LONG
def test_a_swing_that_shall_be_something_is_the_most_of_each_wheel() -> None:
    want = Want("front.upper_ball_swing", radians(22.0), kind="angle")
    search = find(saloon(wants=(want,), rooms=PIVOTS))
    assert search is not None
    assert search.answer.is_met
    most = max(each.value for each in front_readings(search.answer.setup, "upper_ball_swing"))
    assert most == pytest.approx(radians(22.0), abs=radians(0.02))


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
