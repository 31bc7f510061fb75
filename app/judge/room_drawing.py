"""Room on the drawing: a slot around each point that may move, with ends to take hold of."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

from app.document.address import AXES, is_right
from app.document.model import Setup
from app.document.moves import is_there, measured_place, proposed_place
from app.document.plans import Room, Span
from app.document.point_names import point_title
from app.drawing.strokes import Drawing, Handle, LineKind, Place, Polyline, Stop, Stroke
from app.drawing.views import View
from app.words.moves import move_words

ROOM: Final = "room:"  # before the key of an end
TICK: Final = 7.0  # half of the line across the end of a slot that has no width [mm]
_NONE: Final[Span] = (0.0, 0.0)


class End(NamedTuple):
    """An end of a point's room: along which axis, and whether it is the upper one."""

    point: str
    axis: int
    is_high: bool

    @property
    def key(self) -> str:
        """What it is called where a point's key could stand."""
        return f"{ROOM}{self.point}:{AXES[self.axis]}:{'high' if self.is_high else 'low'}"

    @classmethod
    def at(cls, key: str) -> End:
        """Return the end that a key stands for."""
        point, axis, end = key.removeprefix(ROOM).split(":")
        return cls(point, AXES.index(axis), end == "high")

    def span(self, setup: Setup) -> Span | None:
        """Return the room that it ends, None where the point has none along the axis."""
        span: Span | None = getattr(setup.rooms.get(self.point, Room()), AXES[self.axis])
        return span


def is_room(key: str) -> bool:
    """Tell whether a key is that of an end of a point's room."""
    return key.startswith(ROOM)


def end_words(setup: Setup, end: End, decimal: str = ".") -> str:
    """Return how far an end lets its point go: "Upper ball joint may go 5 mm higher"."""
    span = end.span(setup)
    step = [0.0, 0.0, 0.0]
    step[end.axis] = 0.0 if span is None else span[end.is_high]
    right = is_right(end.point)
    move = (step[0], step[1], step[2])
    words = move_words(move, setup.units, right=right, decimal=decimal)
    title = point_title(end.point, setup.evidence)
    where = "where it was measured" if words == "not moved" else f"{words} than measured"
    return f"{title}: its room ends {where}"


def with_slots(drawing: Drawing, view: View, setup: Setup, decimal: str = ".") -> Drawing:
    """Return a drawing with the room of its points, under all else."""
    if not setup.rooms or drawing.bounds is None:
        return drawing
    handles = {each.key: each for each in drawing.strokes if isinstance(each, Handle)}
    strokes: list[Stroke] = []
    for key, room in setup.rooms.items():
        if key in handles and is_there(setup, key):
            strokes += _slot(setup, key, room, handles[key].at, view, decimal)
    return Drawing((*strokes, *drawing.strokes), drawing.bounds) if strokes else drawing


def _slot(
    setup: Setup, key: str, room: Room, at: Place, view: View, decimal: str
) -> Iterator[Stroke]:
    """Yield what a view shows of a point's room: a rectangle, or a line where one axis has room."""
    leader = key
    if not (room.x or room.y or room.z) and room.alike in setup.rooms:
        leader, room = room.alike, setup.rooms[room.alike]
    moved_by = _gone(setup, leader)
    spans = [getattr(room, AXES[axis]) for axis in view.value]
    if not any(spans):
        return
    (left, right), (low, high) = ends = [
        (span[0] - moved_by[axis], span[1] - moved_by[axis]) if span else _NONE
        for span, axis in zip(spans, view.value, strict=True)
    ]
    corners = [(left, low), (right, low), (right, high), (left, high)]
    yield _chain(at, corners, closed=True)
    for place, axis in enumerate(view.value):
        if spans[place] is None:
            continue
        for is_high in (False, True):
            step, way = [0.0, 0.0], [0.0, 0.0]
            step[place], way[place] = ends[place][is_high], 1.0 if is_high else -1.0
            if spans[1 - place] is None:
                yield _chain(at, _across(step, place))
            if leader == key:
                end = End(key, axis, is_high)
                label_place = at[0] + step[0], at[1] + step[1]
                words = end_words(setup, end, decimal)
                yield Stop(end.key, label_place, at, (way[0], way[1]), words)


def _gone(setup: Setup, key: str) -> tuple[float, float, float]:
    """Return how far changes that are on have taken a point from its measured place [mm]."""
    now, then = proposed_place(setup, key), measured_place(setup, key)
    return now[0] - then[0], now[1] - then[1], now[2] - then[2]


def _across(step: list[float], place: int) -> list[Place]:
    """Return the short line across the end of a slot that has no width."""
    u, v = step
    return [(u, v - TICK), (u, v + TICK)] if place == 0 else [(u - TICK, v), (u + TICK, v)]


def _chain(at: Place, places: list[Place], closed: bool = False) -> Polyline:
    chain = tuple((at[0] + u, at[1] + v) for u, v in places)
    return Polyline(chain, LineKind.ROOM, closed=closed, filled=closed)
