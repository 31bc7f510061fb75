"""How well a reading is known, in words."""

from __future__ import annotations

from math import radians

from app.document.model import Setup
from app.words.readings import within_words

SETUP = Setup(
    "t",
    evidence={"front.camber": 0.0, "front.upper_ball": (0.0, 1.0, 2.0), "front.toe": 0.0},
    within={"front.camber": radians(0.1), "front.upper_ball": (1.0, 1.0, 3.0)},
)


def test_a_values_and_a_points_uncertainty_in_either_unit() -> None:
    assert within_words(SETUP, "front.camber", "mm") == "measured within ±0.1°"
    assert within_words(SETUP, "front.toe", "mm") == ""
    ball = within_words(SETUP, "front.upper_ball", "mm")
    assert ball == "measured within x ±1, y ±1, z ±3 mm"
    alike = SETUP.having(within={"front.upper_ball": 2.54})
    assert within_words(alike, "front.upper_ball", "in", ",") == "measured within ±0,1 in"
