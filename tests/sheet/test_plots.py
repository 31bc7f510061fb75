"""Axes of plots: round figures, inside the plot, enough of them, whatever the range."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.sheet.plots import axis_for

pytestmark = pytest.mark.gui

ends = st.tuples(st.floats(-1e4, 1e4), st.floats(1e-3, 1e4))


@given(ends, st.integers(2, 4))
def test_figures_are_round_and_inside(end: tuple[float, float], fewest: int) -> None:
    low, high = end[0], end[0] + end[1]
    axis = axis_for(low, high, 0.0, fewest)
    assert axis.low <= low
    assert axis.high >= high
    assert len(axis.ticks) >= fewest
    slack = 1e-6 * (axis.high - axis.low)
    assert all(axis.low - slack <= tick <= axis.high + slack for tick in axis.ticks)
    step = axis.ticks[1] - axis.ticks[0]
    lead = step / 10.0 ** math.floor(math.log10(step) + 1e-9)
    assert np.isclose(lead, (1.0, 2.0, 5.0), atol=1e-3).any()


@given(ends)
def test_figures_differ_when_they_are_written(end: tuple[float, float]) -> None:
    axis = axis_for(end[0], end[0] + end[1], 0.0, 3)
    written = [f"{tick:.{axis.places}f}" for tick in axis.ticks]
    assert len(set(written)) == len(written)


def test_a_straight_line_is_not_made_a_drama() -> None:
    axis = axis_for(2.5, 2.5001, 1.0, 2)
    assert axis.high - axis.low >= 1.0
