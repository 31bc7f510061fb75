"""Strokes become the shapes that technical drawing asks for."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.layout import lay_out
from app.drawing.shapes import Lines, Ring, Solid, clipped
from app.drawing.strokes import (
    Coil,
    Damper,
    Dimension,
    Handle,
    HandleShape,
    Hatch,
    Label,
    LineKind,
    OffViewPointer,
    Polyline,
)
from app.drawing.views import Frame, View
from tests.helpers.demo_drawing import demo_drawing
from tests.helpers.drawings import drawing_of

AREA = (0.0, 0.0, 600.0, 400.0)
FRAME = Frame(0.5, 100.0, 300.0)
CENTRE = OffViewPointer((400.0, 100.0), (-3000.0, 300.0), "centre 3.4 m inboard", key="ic")


def measure(text: str, bold: bool) -> tuple[float, float]:
    return 7.0 * len(text), 15.0


def laid(*strokes, frame=FRAME):
    return lay_out(drawing_of(*strokes), frame, AREA, measure)


def lines(layout) -> np.ndarray:
    return np.vstack([s.segments for s in layout.shapes if isinstance(s, Lines)])


def test_a_pointer_leaves_the_view_with_an_arrow_on_its_line_and_words():
    layout = laid(CENTRE)
    (head,) = [s for s in layout.shapes if isinstance(s, Solid)]
    start, target = (
        np.array(FRAME.to_device(CENTRE.start)),
        np.array(FRAME.to_device(CENTRE.target)),
    )
    to_tip, to_target = np.array(head.points[0]) - start, target - start
    assert np.cross([*to_tip, 0], [*to_target, 0])[2] == pytest.approx(0.0, abs=1e-6)
    assert 0.0 <= head.points[0][0] <= 10.0
    assert [t.text for t in layout.texts] == ["centre 3.4 m inboard"]


def test_a_pointer_whose_centre_is_in_view_reaches_it_without_words():
    layout = laid(CENTRE, frame=Frame(0.1, 400.0, 300.0))
    assert lines(layout)[0, 2:] == pytest.approx((100.0, 270.0))
    assert layout.texts == ()


@pytest.mark.parametrize("beside", [0.5, 2.0, 3.9])
def test_a_centre_at_the_very_edge_of_the_view_is_named_once(beside):
    u, v = FRAME.to_paper(beside, 300.0)
    mark = Label("instant centre", (u, v), LineKind.CONSTRUCTION, "ic mark", 2)
    layout = laid(OffViewPointer((400.0, 100.0), (u, v), "instant centre 1 m", key="ic"), mark)
    assert [t.text for t in layout.texts] == ["instant centre"]


def test_a_centre_ten_thousand_kilometres_off_is_an_ordinary_one():
    far = OffViewPointer((400.0, 100.0), (-1e10, 100.0), "parallel", key="ic")
    layout = laid(far)
    assert np.abs(lines(layout)).max() < 1000
    assert [t.text for t in layout.texts] == ["parallel"]


@pytest.mark.parametrize(("gap", "outside"), [(200.0, False), (20.0, True)])
def test_arrows_of_a_narrow_dimension_stand_outside(gap, outside):
    layout = laid(Dimension((100.0, 0.0), (100.0 + gap, 0.0), (0.0, -1.0), "x"))
    heads = [np.array(s.points) for s in layout.shapes if isinstance(s, Solid)]
    tips = sorted(float(head[0][0]) for head in heads)
    assert tips == pytest.approx([150.0, 150.0 + gap / 2])
    backs = [float(head[1:, 0].mean()) for head in heads]
    between = [tips[0] < back < tips[1] for back in backs]
    assert between == [not outside] * 2


def test_a_dimension_measures_across_its_direction_only():
    layout = laid(Dimension((100.0, 0.0), (180.0, 60.0), (0.0, -1.0), "80"))
    level = lines(layout)[-1]
    assert level[1] == pytest.approx(level[3])
    assert abs(level[2] - level[0]) == pytest.approx(40.0)


def test_hatching_lies_under_the_ground_and_stays_with_it_when_the_paper_is_pushed():
    ground = Hatch((0.0, 0.0), (800.0, 0.0))
    ticks, edge = (np.array(s.segments) for s in laid(ground).shapes)
    assert (ticks[:, 3] > edge[0, 1]).all()
    pushed = np.array(laid(ground, frame=FRAME.moved(-120.0, 0.0)).shapes[0].segments)
    assert (pushed[5, 0] + 120.0 - ticks[0, 0]) % 9.0 == pytest.approx(0.0, abs=1e-6)


def test_the_ground_zoomed_far_in_has_no_more_hatching_than_fits():
    ticks = laid(Hatch((-1e5, 0.0), (1e5, 0.0)), frame=Frame(40.0, 100.0, 300.0)).shapes[0]
    assert len(ticks.segments) < 80


def test_a_coil_is_as_wide_as_its_diameter_and_as_long_as_it_stands():
    points = lines(laid(Coil((0.0, 100.0), (0.0, 400.0), 90.0, 7))).reshape(-1, 2)
    assert np.ptp(points[:, 0]) == pytest.approx(45.0)
    assert np.ptp(points[:, 1]) == pytest.approx(150.0)


def test_a_damper_has_an_eye_at_each_end():
    eyes = [s for s in laid(Damper((0.0, 100.0), (0.0, 400.0))).shapes if isinstance(s, Ring)]
    assert [e.centre for e in eyes] == [(100.0, 250.0), (100.0, 100.0)]


def test_an_empty_drawing_lays_out_to_nothing():
    assert laid().shapes == ()


def test_a_label_keeps_its_slot_while_its_figure_changes():
    label = [
        Label(f"roll centre {n} mm", (200.0, 200.0), LineKind.CONSTRUCTION, "rc") for n in (99, 100)
    ]
    first, second = laid(label[0]), laid(label[1])
    assert first.slots == second.slots
    assert set(first.slots) == {"rc"}


def test_handles_come_with_their_device_places_in_order():
    handles = [Handle(k, (10.0 * i, 0.0), HandleShape.CIRCLE, k) for i, k in enumerate("abc")]
    layout = laid(*handles)
    assert [(h.key, place) for h, place in layout.handles] == [
        ("a", (100.0, 300.0)),
        ("b", (105.0, 300.0)),
        ("c", (110.0, 300.0)),
    ]


@pytest.mark.parametrize("view", View)
def test_no_label_of_the_demo_car_covers_a_handle_or_another_label(view):
    layout = lay_out(demo_drawing(view), Frame(0.45, 120.0, 380.0), (0, 0, 560, 460), measure)
    boxes = [t.box for t in layout.texts]
    boxes += [(x - 4.0, y - 4.0, 8.0, 8.0) for _, (x, y) in layout.handles]
    for i, (x, y, w, h) in enumerate(boxes[: len(layout.texts)]):
        for a, b, c, d in boxes[i + 1 :]:
            assert x >= a + c or a >= x + w or y >= b + d or b >= y + h


numbers = st.floats(-2000, 2000)


@given(numbers, numbers, numbers, numbers)
def test_clipping_keeps_just_the_part_inside(x1, y1, x2, y2):
    share = np.linspace(0.0, 1.0, 4001)
    walk = np.column_stack([x1 + share * (x2 - x1), y1 + share * (y2 - y1)])
    inside = ((walk >= 0) & (walk <= (600, 400))).all(axis=1)
    seen = clipped((x1, y1, x2, y2), AREA)
    step = math.hypot(x2 - x1, y2 - y1) / 4000
    if seen is None:
        assert inside.sum() <= 1
        return
    length = math.dist(seen[:2], seen[2:])
    assert length == pytest.approx(inside.sum() * step, abs=2.1 * step + 1e-6)
    assert all(-1e-6 <= x <= 600 + 1e-6 for x in (seen[0], seen[2]))
    assert all(-1e-6 <= y <= 400 + 1e-6 for y in (seen[1], seen[3]))


def test_a_line_out_of_view_leaves_nothing():
    away = Polyline(np.array([(-900.0, 0.0), (-900.0, 500.0)]), LineKind.PROPOSED)
    assert laid(away).shapes == ()
