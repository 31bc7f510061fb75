"""Points of a drawing: the handles they are held by, and which of their moves are dimensioned."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from app.document.address import is_right
from app.document.keys import KEYS
from app.document.point_names import point_title
from app.document.units import format_point
from app.drawing.space import Vec, minus
from app.drawing.strokes import Dimension, Handle, HandleShape, LineKind, Place
from app.drawing.views import View
from app.systems.drawing.flat import Flat
from app.systems.shown import Shown
from app.words.drawings import DrawingWords

LEAST: Final = 0.05  # a smaller step is no move [mm]


def point_handle(
    shown: Shown[Any, Any], words: DrawingWords, flat: Flat, key: str, place: Vec, moved: bool
) -> Handle:
    """Return the handle of a point: round on a part, square on the body."""
    return Handle(
        key,
        flat.place(place),
        HandleShape.CIRCLE if KEYS[key].on_part else HandleShape.SQUARE,
        point_title(key, shown.study.setup.evidence),
        format_point(place, words.units, decimal=words.decimal),
        moved=moved,
        locked=key in shown.locked,
        wrong=key in shown.wrong,
        far=flat.view is View.SIDE and is_right(key),
        place=place,
        units=words.units,
    )


def dimensioned(
    moves: Mapping[str, Vec], axis: int, together: Sequence[tuple[str, str]]
) -> Iterator[str]:
    """Yield the points whose move is dimensioned: of two that go `together` only the first."""
    for name, move in moves.items():
        first = next((a for a, b in together if name == b), "")
        served = first in moves and abs(moves[first][axis] - move[axis]) < LEAST
        if abs(move[axis]) >= LEAST and not served:
            yield name


def move_dimension(
    words: DrawingWords, flat: Flat, key: str, place: Vec, move: Vec, axis: int, away: Place
) -> Dimension:
    """Return the dimension of a point's move along an axis of the car, set off to a side."""
    step: Vec = tuple(move[i] if i == axis else 0.0 for i in range(3))  # type: ignore[assignment]
    ends = flat.place(minus(place, step)), flat.place(place)
    before = minus(place, move)  # a point that crosses the middle goes inboard
    text = words.move(axis, move[axis], 1.0 if before[1] >= 0 else -1.0)
    return Dimension(*ends, away, text, LineKind.MOVE, key, 8)
