"""Charts as strokes: every sample of the curves lies where its value says, gaps stay gaps."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.axes import Axis
from app.drawing.chart import (
    Band,
    Chart,
    Field,
    Frame,
    Note,
    Series,
    kept_apart,
    net_of,
    poles,
    pose_marks,
    strokes_of,
)

AT = np.linspace(-50.0, 50.0, 11)
FIELD = Field(10.0, 20.0, 200.0, 100.0)


def frame(upright: bool = False) -> Frame:
    return Frame(FIELD, Axis(-50.0, 50.0, (-50.0, 0.0, 50.0)), Axis(0.0, 10.0, (0.0, 5.0)), upright)


def test_the_corners_of_the_field_are_the_ends_of_the_axes() -> None:
    assert frame().place(-50.0, 0.0) == (10.0, 120.0)
    assert frame().place(50.0, 10.0) == (210.0, 20.0)
    assert frame(upright=True).place(-50.0, 10.0) == (210.0, 120.0)
    assert frame(upright=True).place(50.0, 0.0) == (10.0, 20.0)


@given(st.floats(-50, 50), st.floats(0, 10), st.booleans())
def test_a_place_on_the_page_reads_the_driver_that_it_was_drawn_at(
    at: float, value: float, upright: bool
) -> None:
    laid = frame(upright)
    read = laid.driver_at(*laid.place(at, value))
    if read is not None:  # a hair outside at the very edge
        assert read == pytest.approx(at, abs=1e-9)


def test_many_places_are_those_of_each() -> None:
    values = AT**2 / 250.0
    for upright in (False, True):
        laid = frame(upright)
        together = laid.places(AT, values)
        assert np.allclose(together, [laid.place(*spot) for spot in zip(AT, values, strict=True)])


def test_a_curve_breaks_where_it_has_no_values() -> None:
    values = np.arange(11.0)
    values[4:6] = np.nan
    values[9] = np.nan  # leaves a single place at the end: no line
    assert Series(AT, values).pieces == (slice(0, 4), slice(6, 9))
    traces = strokes_of(Chart((Series(AT, values),)), frame()).traces
    assert [len(trace.places) for trace in traces] == [4, 3]


def test_a_curve_breaks_at_a_pole_and_nowhere_else() -> None:
    at = np.linspace(-75.0, 75.0, 61) + 1.0
    pieces = Series(at, 1000.0 / at).pieces
    assert len(pieces) == 2
    assert at[pieces[0]][-1] < 0 < at[pieces[1]][0]
    assert Series(at, at**3).pieces == (slice(0, 61),)


def test_a_step_that_nobody_can_measure_is_no_pole() -> None:
    at = np.linspace(-75.0, 75.0, 61)
    small = np.where(at > 74.0, 0.5, 0.0)
    assert Series(at, small, least=1.0).pieces == (slice(0, 61),)
    assert Series(at, 1000.0 * small, least=1.0).pieces == (slice(0, 60),)


def test_no_value_is_read_in_a_gap_or_beyond_the_ends() -> None:
    values = np.arange(11.0)
    values[5] = np.nan
    curve = Series(AT, values)
    assert curve.value_at(-45.0) == pytest.approx(0.5)
    assert curve.value_at(0.0) is None
    assert curve.value_at(51.0) is None
    assert Series(AT[::-1], values[::-1]).value_at(-45.0) == pytest.approx(0.5)


def test_ends_notes_and_poses_are_marked_where_they_are() -> None:
    curve = Series(AT, np.full(11, 5.0), "measured", ends=(2,))
    chart = Chart((curve,), notes=(Note(10.0, 5.0, "ride"),))
    cross, note = strokes_of(chart, frame()).marks
    assert (cross.sign, cross.at, cross.look) == ("cross", frame().place(-30.0, 5.0), "measured")
    assert (note.sign, note.at) == ("note", frame().place(10.0, 5.0))
    ring, dot = pose_marks(frame(), (0.0, 1.0), (0.0, 2.0))
    assert (ring.sign, ring.look, dot.sign) == ("ring", "measured", "dot")
    assert pose_marks(frame(), None, None) == ()


def test_a_band_goes_there_along_one_edge_and_back_along_the_other() -> None:
    band = Band(AT, np.full(11, 2.0), np.full(11, 4.0))
    (area,) = strokes_of(Chart(bands=(band,)), frame()).areas
    assert len(area.places) == 22
    assert area.places[0] == frame().place(-50.0, 2.0)
    assert area.places[-1] == frame().place(-50.0, 4.0)


def test_the_net_stands_at_the_ticks_and_knows_nought() -> None:
    net = net_of(frame(), ",")
    assert len(net.rules) == 5
    assert [rule.start for rule in net.rules if rule.zero] == [(110.0, 20.0), (10.0, 120.0)]
    assert net.across == ((10.0, "−50"), (110.0, "0"), (210.0, "50"))
    assert net.up == ((120.0, "0"), (70.0, "5"))


def test_figures_stand_inside_and_never_on_each_other() -> None:
    figures = [(0.0, "first"), (3.0, "second"), (40.0, "third"), (100.0, "last")]
    kept = kept_apart(figures, (0.0, 100.0), lambda text: 2.0 * len(text), 1.0)
    assert [text for _, text in kept] == ["first", "third", "last"]
    assert kept[0][0] == 5.0
    assert kept[-1][0] == 96.0


def test_a_curve_is_not_drawn_through_its_pole_however_small_the_leap_is() -> None:
    at = np.linspace(-10.0, 10.0, 41)
    over = 30.0 / (at - 2.13)
    leaps = np.flatnonzero(poles(over, 1.0))
    assert len(leaps) == 1
    assert at[leaps[0]] < 2.13 < at[leaps[0] + 1]
    for smooth in (np.sin(at), at**3, np.abs(at), np.exp(-(at**2)), np.sin(3 * at) * 50.0):
        assert not poles(smooth, 0.0).any()
    assert len(Series(at, over, least=40.0).pieces) == 2
