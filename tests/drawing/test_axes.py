"""Axes of charts: round figures inside the plot, enough of them, ranges that hold what counts."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.axes import Axis, range_over, tick_text, ticks_at_least, ticks_at_most

ends = st.tuples(st.floats(-1e4, 1e4), st.floats(1e-3, 1e4)).map(lambda e: (e[0], e[0] + e[1]))


def is_round(ticks: tuple[float, ...], low: float, high: float) -> bool:
    """Tell whether ticks are multiples of 1, 2 or 5 of a power of ten, between the ends."""
    slack = 1e-6 * (high - low)
    if not all(low - slack <= tick <= high + slack for tick in ticks):
        return False
    if len(ticks) < 2:
        return True
    step = ticks[1] - ticks[0]
    lead = step / 10.0 ** math.floor(math.log10(step) + 1e-6)
    even = np.allclose(np.diff(ticks), step, rtol=1e-4)
    whole = np.allclose(np.array(ticks) / step, np.round(np.array(ticks) / step), atol=1e-3)
    return bool(even and whole and np.isclose(lead, (1.0, 2.0, 5.0), atol=1e-3).any())


@given(ends, st.integers(2, 4))
def test_ticks_are_round_inside_and_enough(end: tuple[float, float], fewest: int) -> None:
    ticks = ticks_at_least(*end, fewest)
    assert len(ticks) >= fewest
    assert is_round(ticks, *end)


@given(ends, st.integers(2, 9))
def test_ticks_are_round_inside_and_not_too_many(end: tuple[float, float], most: int) -> None:
    ticks = ticks_at_most(*end, most)
    assert len(ticks) <= most
    assert is_round(ticks, *end)
    assert len(ticks) >= most / 2.5 - 1  # steps are no farther apart than 2.5 times


@given(ends)
def test_figures_differ_when_they_are_written(end: tuple[float, float]) -> None:
    figures = Axis(*end, ticks_at_least(*end, 3)).figures(".")
    assert len(set(figures)) == len(figures)


def test_no_ticks_where_there_is_no_room() -> None:
    assert ticks_at_most(0.0, 0.0, 4) == ()
    assert ticks_at_most(0.0, 1.0, 0) == ()


def test_figures_say_no_more_decimals_than_they_need() -> None:
    assert ticks_at_most(-1.3, 1.2, 4) == (-1.0, 0.0, 1.0)
    assert Axis(-0.6, 0.6, (-0.5, 0.0, 0.5)).figures(",") == ("−0,5", "0,0", "0,5")
    assert tick_text(200.0, 100.0, ".") == "200"


@given(st.lists(st.floats(-100, 100), min_size=3, max_size=60))
def test_a_range_holds_the_usual_values_and_is_never_narrower_than_least(
    values: list[float],
) -> None:
    low, high = range_over(np.array(values), 3.0)
    assert high - low >= 3.0
    middle = float(np.median(values))
    assert low <= middle <= high


def test_a_range_of_a_plain_curve_holds_all_of_it() -> None:
    values = np.linspace(-2.0, 7.0, 61) ** 2
    low, high = range_over(values, 0.1)
    assert low < values.min() < values.max() < high


def test_a_centre_that_runs_off_does_not_flatten_the_rest() -> None:
    travel = np.linspace(-75.0, 75.0, 61)
    far = np.where(travel == 0.0, 1e9, 1.0)
    low, high = range_over(np.where(far > 1.0, far, travel), 4.0)
    assert -120.0 < low < -75.0
    assert 75.0 < high < 250.0


def test_an_empty_plot_has_a_range() -> None:
    assert range_over(np.array([np.nan]), 4.0) == (-2.0, 2.0)
