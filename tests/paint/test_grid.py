"""The ruled paper: lines at round places of either unit, at every scale open enough to be told."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.paint.grid import CLOSEST, FIGURES_APART, Units, ruling

pytestmark = pytest.mark.gui

scales = st.floats(0.02, 60.0)  # pixels per mm: from a car on a stamp to a bolt on a wall
units = st.sampled_from(["mm", "in"])


def is_whole(number: float) -> bool:
    return number == pytest.approx(round(number), abs=1e-9) and round(number) >= 1


@given(scales, units)
def test_lines_and_figures_are_never_too_close(scale: float, unit: Units) -> None:
    rule = ruling(scale, unit)
    assert rule.fine * scale >= CLOSEST
    assert rule.figures * scale >= FIGURES_APART


@given(scales, units)
def test_coarser_lines_and_figures_stand_on_fine_lines(scale: float, unit: Units) -> None:
    rule = ruling(scale, unit)
    assert is_whole(rule.middle / rule.fine)
    assert is_whole(rule.heavy / rule.fine)
    assert is_whole(rule.figures / rule.fine)


@given(scales)
def test_mm_are_ruled_in_tens_and_inches_by_halving(scale: float) -> None:
    assert f"{ruling(scale, 'mm').fine:g}" in ("1", "10", "100", "1000")
    inches = ruling(scale, "in").fine / 25.4
    assert is_whole(inches) or is_whole(1.0 / inches)


@given(scales, st.floats(1.0, 4.0), units)
def test_a_larger_scale_is_never_ruled_coarser(scale: float, more: float, unit: Units) -> None:
    assert ruling(scale * more, unit).fine <= ruling(scale, unit).fine
