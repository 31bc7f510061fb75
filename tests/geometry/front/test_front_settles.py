"""A front settles where a pose of its own carries the car, whichever way the height was found."""

from __future__ import annotations

import numpy as np
import pytest

from app.document.model import Change, FrozenMap
from app.systems.front.inputs import measured_car, proposed_car
from geometry.conventions import GRAVITY
from geometry.front import settling
from geometry.front.axle import Front, build_front
from geometry.front.grid import level_poses
from geometry.front.settling import Through, settles
from tests.helpers.front_setups import front_setup

TRAVELS = np.linspace(-75.0, 75.0, 61)
UPPER = ("upper_front", "upper_rear")


def front_with(rate: float, moves: dict[str, tuple[float, float, float]]) -> Front:
    change = Change(
        "softer",
        moves=FrozenMap({f"front.{name}": move for name, move in moves.items()}),
        sets=FrozenMap({"front.spring.rate": rate}),
    )
    setup = front_setup(changes=(change,))
    return build_front(proposed_car(setup), build_front(measured_car(setup)).reference)


def lacking(front: Front, travel: float) -> float:
    poses = level_poses(front, np.array([travel]), np.zeros(1))
    weight = float(front.car.sprung_mass) * GRAVITY
    return float(front.wheel_load(poses)[0]) / weight - 1.0


@pytest.mark.parametrize("right", [None, (0.0, 0.0, -9.0)])  # the sides alike, and each its own
def test_a_pose_where_a_front_settles_carries_its_load(
    right: tuple[float, float, float] | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    moves = dict.fromkeys(UPPER, (0.0, 0.0, -22.0))
    if right is not None:
        moves |= {f"right.{name}": right for name in UPPER}
    front = front_with(47.0, moves)
    found = settles(front, TRAVELS)
    assert found is not None
    assert abs(found) > 5.0
    assert lacking(front, found) == pytest.approx(0.0, abs=1e-11)
    monkeypatch.setattr(settling, "_carried_between", lambda *_: None)
    assert settles(front, TRAVELS) == pytest.approx(found, abs=1e-7)


def test_a_front_as_measured_stands_at_its_height_to_rounding() -> None:
    assert settles(front_with(52.0, {}), TRAVELS) == 0.0


def test_a_curve_through_values_is_their_polynomial() -> None:
    at = np.array([-2.0, -1.2, 0.1, 1.1, 2.0])
    curve = Through(at, at**4 - 3.0 * at)
    assert curve.value(0.7) == pytest.approx(0.7**4 - 2.1, abs=1e-14)
    assert curve.value(1.1) == 1.1**4 - 3.0 * 1.1
