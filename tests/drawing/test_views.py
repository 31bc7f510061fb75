"""The three views follow the drawing arrangement, and frames map there and back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.strokes import Bounds
from app.drawing.views import Frame, View, centred_frame, fitting_scale

numbers = st.floats(-1000, 1000)


def test_front_and_side_share_heights_front_and_top_share_widths():
    point = (11.0, 22.0, 33.0)
    assert View.FRONT.place(point) == (22.0, 33.0)
    assert View.SIDE.place(point)[1] == View.FRONT.place(point)[1]
    assert View.TOP.place(point)[0] == View.FRONT.place(point)[0]


@pytest.mark.parametrize("view", View)
def test_moving_on_paper_moves_the_point_in_the_plane_of_the_view(view):
    point = np.array([10.0, 20.0, 30.0])
    moved = point + view.lift(3.0, -4.0)
    right, up = view.value
    hidden = ({0, 1, 2} - {right, up}).pop()
    assert view.place(tuple(moved)) == (point[right] + 3.0, point[up] - 4.0)
    assert moved[hidden] == point[hidden]


@given(numbers, numbers, st.floats(0.01, 40), numbers, numbers)
def test_a_frame_maps_there_and_back(u, v, scale, x, y):
    frame = Frame(scale, x, y)
    assert frame.to_paper(*frame.to_device((u, v))) == pytest.approx((u, v), abs=1e-6)
    assert frame.map(np.array([u, v])) == pytest.approx(frame.to_device((u, v)))


@given(st.floats(0.1, 10), numbers, numbers)
def test_zooming_keeps_the_place_under_the_pointer(factor, x, y):
    frame = Frame(0.7, 50.0, 300.0)
    zoomed = frame.zoomed(factor, x, y)
    assert zoomed.to_paper(x, y) == pytest.approx(frame.to_paper(x, y), abs=1e-6)
    assert zoomed.scale == pytest.approx(0.7 * factor)


def test_a_fitted_drawing_touches_the_edges_and_no_more():
    bounds = Bounds(-100.0, 0.0, 300.0, 100.0)
    scale = fitting_scale(bounds, 800.0, 600.0)
    frame = centred_frame(bounds, scale, 800.0, 600.0)
    assert frame.to_device((-100.0, 100.0))[0] == pytest.approx(0.0)
    assert frame.to_device((300.0, 0.0))[0] == pytest.approx(800.0)
    assert frame.to_device((0.0, 50.0))[1] == pytest.approx(300.0)
