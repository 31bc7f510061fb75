"""The car posed by hand: the wheel is travel, the ground line is roll, inside what is swept."""

from __future__ import annotations

from math import atan, degrees, radians

import pytest

from app.drawing.views import View
from app.gestures.pose_car import LEVER, PoseCar, within
from app.session.session import Session
from app.systems.answers import Pose
from tests.helpers.panel_windows import saloon_session

pytestmark = pytest.mark.gui

WHEEL, GROUND = "wheel:front", "ground:front"


@pytest.fixture
def session() -> Session:
    return saloon_session()


@pytest.fixture
def hand(session: Session) -> PoseCar:
    return PoseCar(session)


def pull(hand: PoseCar, key: str, at: tuple[float, float], up: float, view: View) -> None:
    hand.begin(key, at, view)
    hand.move((at[0], at[1] + up))


@pytest.mark.parametrize("view", [View.FRONT, View.SIDE])
def test_the_wheel_taken_up_is_bump_by_as_much(session: Session, hand: PoseCar, view: View) -> None:
    pull(hand, WHEEL, (660.0, 300.0), 12.5, view)
    assert session.pose == Pose(travel=12.5)


def test_the_hand_starts_from_the_pose_that_is_shown(session: Session, hand: PoseCar) -> None:
    session.set_pose(Pose(-20.0, radians(1.0), 8.0))
    pull(hand, WHEEL, (660.0, 300.0), 5.0, View.SIDE)
    assert session.pose == Pose(-15.0, radians(1.0), 8.0)


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_the_ground_line_stays_under_the_hand(session: Session, hand: PoseCar, side: float) -> None:
    """The line goes through the middle of the car; where it is held it rises as the hand does."""
    held, rise = 600.0 * side, 20.0
    pull(hand, GROUND, (held, 0.0), rise, View.FRONT)
    assert -held * session.pose.roll == pytest.approx(rise, rel=1e-3)  # small angles
    assert session.pose.travel == 0.0


def test_near_the_middle_the_ground_is_held_at_a_lever(session: Session, hand: PoseCar) -> None:
    pull(hand, GROUND, (3.0, 0.0), 10.0, View.FRONT)
    assert session.pose.roll == pytest.approx(-atan(10.0 / LEVER))


def test_from_the_side_the_ground_moves_the_whole_car(session: Session, hand: PoseCar) -> None:
    pull(hand, GROUND, (500.0, 0.0), 10.0, View.SIDE)
    assert session.pose == Pose(travel=10.0)


def test_from_above_nothing_goes_up_or_down(session: Session, hand: PoseCar) -> None:
    pull(hand, WHEEL, (660.0, 300.0), 40.0, View.TOP)
    assert session.pose == Pose()


@pytest.mark.parametrize("up", [5000.0, -5000.0])
def test_a_pose_stays_inside_what_is_swept(session: Session, hand: PoseCar, up: float) -> None:
    pull(hand, WHEEL, (660.0, 300.0), up, View.FRONT)
    assert session.pose.travel == (75.0 if up > 0 else -75.0)  # bump and rebound of the file
    hand.cancel()
    pull(hand, GROUND, (200.0, 0.0), up, View.FRONT)
    assert degrees(abs(session.pose.roll)) == pytest.approx(6.0)


def test_a_pose_is_kept_inside_in_every_direction(session: Session) -> None:
    kept = within(session, Pose(-1e4, -1e4, 1e4))
    assert kept.travel == -75.0
    assert degrees(kept.roll) == pytest.approx(-6.0)
    assert kept.steer == pytest.approx(66.0)  # the rack's travel in the file, each way
    assert within(session, Pose(1.0, 0.01, 2.0)) == Pose(1.0, 0.01, 2.0)


def test_letting_go_leaves_the_pose_and_what_moves_later_does_nothing(
    session: Session, hand: PoseCar
) -> None:
    pull(hand, WHEEL, (660.0, 300.0), 9.0, View.FRONT)
    hand.commit()
    hand.move((660.0, 900.0))
    hand.cancel()
    assert session.pose == Pose(travel=9.0)


def test_cancelling_goes_back_to_where_the_hand_came(session: Session, hand: PoseCar) -> None:
    start = Pose(4.0, radians(-1.0), 2.0)
    session.set_pose(start)
    pull(hand, WHEEL, (660.0, 300.0), 30.0, View.FRONT)
    assert session.pose != start
    hand.cancel()
    assert session.pose == start


def test_a_pose_is_no_edit(session: Session, hand: PoseCar) -> None:
    setup, history = session.setup, session.history
    pull(hand, WHEEL, (660.0, 300.0), 30.0, View.FRONT)
    hand.commit()
    assert session.setup is setup
    assert session.history is history
