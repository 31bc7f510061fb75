"""Lateral load transfer against a textbook's example, and moments that must add up."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.balance import (
    AxleTransfer,
    elastic_transfer,
    roll_gradient,
    roll_stiffness,
    side_moment_transfer,
)
from geometry.conventions import GRAVITY
from tests.reference import front_published as published

TRACK = 1460.0


@pytest.mark.parametrize(
    ("share", "height", "expected"),
    [
        (0.54, 70.0, published.LOAD_TRANSFER_GEOMETRIC[0]),
        (0.46, 320.0, published.LOAD_TRANSFER_GEOMETRIC[1]),
    ],
)
def test_the_linkages_part_is_the_textbooks(share: float, height: float, expected: float) -> None:
    found = side_moment_transfer(1280.0 * share, 0.6, height, TRACK)
    assert found == pytest.approx(expected, abs=0.7)  # the book takes g as 9.81


@pytest.mark.parametrize(
    ("mass", "height", "expected"),
    [
        (140.0, 280.0, published.LOAD_TRANSFER_UNSPRUNG[0]),
        (180.0, 300.0, published.LOAD_TRANSFER_UNSPRUNG[1]),
    ],
)
def test_the_wheels_part_is_the_textbooks(mass: float, height: float, expected: float) -> None:
    assert side_moment_transfer(mass, 0.6, height, TRACK) == pytest.approx(expected, abs=0.6)


def test_the_roll_gradient_is_the_textbooks() -> None:
    found = math.degrees(roll_gradient(1280.0, 365.0, 28_650e3))
    assert found == pytest.approx(published.ROLL_GRADIENT, abs=0.06)


@settings(max_examples=30)
@given(
    st.floats(500.0, 2000.0),
    st.floats(0.3, 0.7),
    st.floats(0.1, 0.9),
    st.floats(-50.0, 400.0),
    st.floats(-50.0, 400.0),
    st.floats(15.0, 60.0),
)
def test_the_parts_of_both_axles_carry_the_whole_moment(
    mass: float, share: float, acceleration: float, front: float, rear: float, rate: float
) -> None:
    # moments about the ground: side force at the centre of gravity, and the weight that leans out
    height, stiffness = 560.0, (roll_stiffness(rate, TRACK), roll_stiffness(0.8 * rate, TRACK))
    arm = height - (share * front + (1.0 - share) * rear)
    roll = acceleration * roll_gradient(mass, arm, sum(stiffness))
    axles = [
        AxleTransfer(
            side_moment_transfer(mass * part, acceleration, centre, TRACK),
            elastic_transfer(roll, stiff, TRACK),
            0.0,
        )
        for part, centre, stiff in zip((share, 1.0 - share), (front, rear), stiffness, strict=True)
    ]
    carried = sum(axle.total for axle in axles) * TRACK
    # roll is per g at small angles: the side force turns with it as the textbook has it
    asked = mass * GRAVITY * (acceleration * height + arm * roll)
    assert carried == pytest.approx(asked, rel=1e-9)


def test_two_wheel_rates_hold_roll_as_springs_at_half_the_track() -> None:
    # one degree lifts each wheel by half the track times the angle; the force couple is its work
    rate, roll = 30.0, math.radians(1.0)
    force = rate * 0.5 * TRACK * roll
    assert roll_stiffness(rate, TRACK) * roll == pytest.approx(force * TRACK, rel=1e-12)
