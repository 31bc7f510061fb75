"""Residuals on the drawing: a short bar at each adjusted point, and the doubtful reading named."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from math import hypot
from typing import Final

from app.document.address import AXES, Point, left_of, mirrored
from app.document.model import MARK, Setup
from app.drawing.strokes import (
    Drawing,
    Handle,
    Label,
    LineKind,
    Mark,
    MarkShape,
    Place,
    Polyline,
    Stroke,
)
from app.drawing.views import View
from app.judge.survey import Survey, survey_of

ENLARGED: Final = 20.0  # bars are drawn so many times as long as the residual
LONGEST: Final = 120.0  # mm on paper
LEAST: Final = 0.1  # mm; a smaller residual has no bar
_PRIORITY: Final = 6  # of labels: nothing else there is more urgent


def with_residuals(drawing: Drawing, view: View, setup: Setup) -> Drawing:
    """Return a drawing with what the tapes of a car say of its points."""
    if not setup.tapes or drawing.bounds is None:
        return drawing
    survey = survey_of(setup)
    handles = {each.key: each.at for each in drawing.strokes if isinstance(each, Handle)}
    places = {**handles, **{f"{MARK}{name}": view.place(at) for name, at in setup.marks.items()}}
    strokes = [
        *_marks(setup, view),
        *_bars(survey, view, handles),
        *_doubtful(survey, places),
    ]
    return replace(drawing, strokes=(*drawing.strokes, *strokes)) if strokes else drawing


def _marks(setup: Setup, view: View) -> Iterator[Stroke]:
    """Yield the marks on the floor, named where the floor is seen."""
    for name, place in setup.marks.items():
        at = view.place(place)
        yield Mark(at, MarkShape.CROSS, LineKind.AXIS)
        if view is View.TOP:
            yield Label(f"mark {name}", at, LineKind.AXIS, f"mark {name}", 1)


def _bars(survey: Survey, view: View, handles: Mapping[str, Place]) -> Iterator[Stroke]:
    rows = {row.key: row.residual for row in survey.points if row.is_taped}
    for key, at in handles.items():
        residual = rows.get(key)
        if residual is None and left_of(key) in rows and Point.at(key).is_right:
            residual = mirrored(rows[left_of(key)])
        if residual is not None:
            yield from _bar(view.place(residual), at)


def _bar(residual: Place, at: Place) -> Iterator[Stroke]:
    """Yield the bar from where the point was read to where it is, enlarged."""
    size = hypot(*residual)
    if size >= LEAST:
        length = min(ENLARGED * size, LONGEST) / size
        end = (at[0] - length * residual[0], at[1] - length * residual[1])
        across = (4.0 * residual[1] / size, -4.0 * residual[0] / size)
        stop = ((end[0] + across[0], end[1] + across[1]), (end[0] - across[0], end[1] - across[1]))
        yield Polyline((at, end), LineKind.MOVE)
        yield Polyline(stop, LineKind.MOVE)


def _doubtful(survey: Survey, places: Mapping[str, Place]) -> Iterator[Stroke]:
    """Yield a line along each doubtful tape, and the names of doubtful readings."""
    for row in survey.tapes:
        ends = [places.get(end) for end in row.tape.between]
        if row.is_doubtful and ends[0] is not None and ends[1] is not None:
            yield Polyline((ends[0], ends[1]), LineKind.RESULT)
            yield _label(
                f"tape {row.number}: look again", _middle(ends[0], ends[1]), f"tape {row.number}"
            )
    axes: dict[str, list[str]] = {}
    for doubt in survey.doubts:
        if doubt.key in places:
            axes.setdefault(doubt.key, []).append(AXES[doubt.axis])
    for key, names in axes.items():
        yield _label(f"{', '.join(names)}: look again", places[key], f"doubt {key}")


def _label(text: str, at: Place, key: str) -> Label:
    return Label(text, at, LineKind.MOVE, key, _PRIORITY, "above", bold=True)


def _middle(one: Place, other: Place) -> Place:
    return (one[0] + other[0]) / 2.0, (one[1] + other[1]) / 2.0
