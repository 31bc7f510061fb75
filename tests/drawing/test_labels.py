"""Labels overlap nothing, prefer their side, and stay put."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.drawing.labels import Obstacles, Placed, Request, place_labels

AREA = (0.0, 0.0, 600.0, 400.0)
NOTHING = Obstacles(np.empty((0, 4)), np.empty((0, 4)))
Box = tuple[float, float, float, float]

places = st.tuples(st.floats(20, 580), st.floats(20, 380))
sides = st.sampled_from(["right", "left", "above", "below"])
requests = st.lists(st.tuples(places, st.floats(20, 120), sides), min_size=1, max_size=12)
segments = st.lists(st.tuples(places, places), max_size=25)
boxes = st.lists(places, max_size=8)


def _requests(drawn: list[tuple[tuple[float, float], float, str]], priority: int) -> list[Request]:
    return [
        Request(str(i), at, (width, 15.0), side, priority)  # type: ignore[arg-type]
        for i, (at, width, side) in enumerate(drawn)
    ]


def _obstacles(
    lines: list[tuple[tuple[float, float], tuple[float, float]]], places: list[tuple[float, float]]
) -> Obstacles:
    ends = np.array([[*a, *b] for a, b in lines if a != b]).reshape(-1, 4)  # else no ink
    return Obstacles(ends, np.array([[x, y, 13.0, 13.0] for x, y in places]).reshape(-1, 4))


def _boxes_meet(one: Box, other: Box) -> bool:
    return (
        one[0] < other[0] + other[2]
        and other[0] < one[0] + one[2]
        and one[1] < other[1] + other[3]
        and other[1] < one[1] + one[3]
    )


def _line_enters(box: Box, line: np.ndarray) -> bool:
    """Walk the line in small steps: slow, but not the way of the code."""
    share = np.linspace(0, 1, 2001)[:, None]
    walk = line[:2] + share * (line[2:] - line[:2])
    low, high = np.array(box[:2]), np.array(box[:2]) + box[2:]
    return bool(((walk > low) & (walk < high)).all(axis=1).any())


@given(requests, segments, boxes)
@settings(max_examples=60)
def test_labels_meet_no_line_no_handle_and_no_other_label(drawn, lines, handles):
    obstacles = _obstacles(lines, handles)
    placed = list(place_labels(_requests(drawn, 0), obstacles, AREA).values())
    for i, one in enumerate(placed):
        assert not any(_line_enters(one.box, line) for line in obstacles.segments)
        assert not any(_boxes_meet(one.box, tuple(box)) for box in obstacles.boxes)
        assert not any(_boxes_meet(one.box, other.box) for other in placed[i + 1 :])
        assert one.box[0] >= 0
        assert one.box[0] + one.box[2] <= 600
        assert one.box[1] >= 0
        assert one.box[1] + one.box[3] <= 400


def test_a_leader_goes_round_a_label_where_there_is_room():
    upper = Request("upper", (300.0, 200.0), (90.0, 15.0), "above", 9)
    lower = Request("lower", (318.0, 225.0), (60.0, 15.0), "above", 1)
    walls = [[288.0, 233.0, 348.0, 233.0], *([x, 200.0, x, 250.0] for x in (288.0, 348.0))]
    placed = place_labels([upper, lower], Obstacles(np.array(walls), NOTHING.boxes), AREA)
    assert placed["lower"].leader
    left, top, wide, high = placed["lower"].box
    x, y = lower.anchor
    start = x if left < x < left + wide else min(max(x, left), left + wide), top + high / 2
    assert not _line_enters(placed["upper"].box, np.array([*start, x, y]))


@given(requests, segments, boxes, st.floats(-2, 2), st.floats(-2, 2))
@settings(max_examples=40)
def test_a_label_whose_slot_is_still_free_stays_there(drawn, lines, handles, dx, dy):
    obstacles = _obstacles(lines, handles)
    before = place_labels(_requests(drawn, 0), obstacles, AREA)
    slots = {key: place.slot for key, place in before.items()}
    again = place_labels(_requests(drawn, 0), obstacles, AREA, previous=slots)
    assert {key: again[key].slot for key in slots} == slots
    everything_moved = [
        Request(r.key, (r.anchor[0] + dx, r.anchor[1] + dy), r.size, r.prefer)
        for r in _requests(drawn, 0)
    ]
    moved_obstacles = Obstacles(
        np.add(obstacles.segments, (dx, dy, dx, dy)), np.add(obstacles.boxes, (dx, dy, 0.0, 0.0))
    )
    larger = (-10.0, -10.0, 620.0, 420.0)
    moved = place_labels(everything_moved, moved_obstacles, larger, previous=slots)
    assert {key: moved[key].slot for key in slots} == slots


@pytest.mark.parametrize(
    ("side", "direction"),
    [("right", (1, 0)), ("left", (-1, 0)), ("above", (0, -1)), ("below", (0, 1))],
)
def test_on_free_paper_a_label_stands_on_its_side(side, direction):
    (placed,) = place_labels([Request("a", (300, 200), (60, 15), side)], NOTHING, AREA).values()
    middle = placed.box[0] + placed.box[2] / 2 - 300, placed.box[1] + placed.box[3] / 2 - 200
    assert np.sign(np.round(middle, 6)).tolist() == list(direction)
    assert not placed.leader


def test_a_far_label_gets_a_leader():
    fence = np.array([[300 + dx, 150.0, 300 + dx, 250.0] for dx in range(-60, 61, 6)])
    placed = place_labels(
        [Request("a", (300, 200), (40, 15))], Obstacles(fence, np.empty((0, 4))), AREA
    )
    assert placed["a"].leader


def test_with_no_room_the_plain_label_goes_and_the_important_one_crosses_a_line():
    comb = np.array([[x, 0.0, x, 400.0] for x in range(0, 601, 10)], dtype=float)
    obstacles = Obstacles(comb, np.empty((0, 4)))
    wanted = [
        Request("plain", (300, 100), (60, 15)),
        Request("important", (300, 300), (60, 15), "right", 5),
    ]
    assert set(place_labels(wanted, obstacles, AREA)) == {"important"}


def test_the_more_important_label_chooses_first():
    same = [
        Request("low", (300, 200), (60, 15), "right", 1),
        Request("high", (300, 200), (60, 15), "right", 2),
    ]
    placed: dict[str, Placed] = place_labels(same, NOTHING, AREA)
    assert placed["high"].box[0] > 300
    assert placed["low"].box != placed["high"].box


def test_an_anchor_out_of_view_has_no_label():
    assert place_labels([Request("a", (700, 200), (60, 15))], NOTHING, AREA) == {}
