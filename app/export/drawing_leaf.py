"""The drawing on a leaf: all views in drawing arrangement or one of them, to a stated scale."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final

from app.document.model import Units
from app.document.quantities import INCH
from app.drawing.second_car import laid_over, outlined
from app.drawing.strokes import Bounds, Drawing
from app.drawing.views import Frame, View
from app.export.leaf import Box, Imprint, Leaf, SecondCar, Sign, blank_leaf, signs_of
from app.paint.painter import Medium, paint_drawing, paper_medium
from app.paint.palette import BLACK
from app.paper.faces import DOTS, FINE, SMALL_STRONG, STRONG, font_of
from app.paper.ink import MIDDLE, THIN, Ink
from app.systems.answers import Study
from app.systems.shown import Options, Shown
from geometry.dataclass import dataclass

SCALES: Final = (2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50)
TITLE: Final = 4.6  # over a view [mm]
GAP: Final = 3.0  # between views
AROUND: Final = 5.0  # paper around what is drawn in a view, for its figures
BELOW: Final = {View.FRONT: 12.0, View.SIDE: 12.0, View.TOP: AROUND}  # and under it, for the track
BARS: Final = {  # lengths of a scale bar [mm on the car] and their words
    "mm": tuple((float(size), f"{size} mm") for size in (50, 100, 200, 500, 1000)),
    "in": tuple((size * INCH, f"{size} in") for size in (2, 5, 10, 20, 40)),
}
NOTE: Final = "Square: fixed to the body; round: a joint. Each car stands on its wheels, at rest."
LONGEST: Final = 62.0  # of a scale bar on paper [mm]


def drawings_of(
    study: Study[Any], view: View | None, decimal: str, second: SecondCar | None = None
) -> dict[View, Drawing]:
    """Return the drawings of both cars at rest, of all views or one; over a second car's, if any.

    Of a second car alone there is that one, as built.
    """
    views, options = tuple(View) if view is None else (view,), Options(decimal=decimal)
    if second is not None:
        its = Shown(second.study, second.study.proposed.rest)
        if second.is_alone:
            return second.study.system.drawings(its, options, views)
        quiet = replace(options, dimensions=False, result="")
        under = second.study.system.drawings(its, quiet, views)
    measured = study.measured.rest if study.changed else None
    shown = Shown(study, study.proposed.rest, measured)
    drawings = study.system.drawings(shown, options, views)
    if second is None:
        return drawings
    return {kind: laid_over(drawing, outlined(under[kind])) for kind, drawing in drawings.items()}


def drawing_name(study: Study[Any], view: View | None) -> str:
    """Return what the picture shows: "Front: drawing", "Rear, side view"."""
    return f"{study.system.title}: drawing" if view is None else study.system.views[view]


@dataclass(frozen=True)
class Arrangement:
    """Views on paper at 1 to `scale`: side beside front, top under it."""

    drawings: Mapping[View, Drawing]
    titles: Mapping[View, str]
    scale: float

    def size_of(self, view: View) -> tuple[float, float]:
        """Return the width and the height of a view with the paper around it [mm]."""
        bounds = self.bounds_of(view)
        width = (bounds.right - bounds.left) / self.scale + 2 * AROUND
        return width, (bounds.top - bounds.bottom) / self.scale + AROUND + BELOW[view]

    def bounds_of(self, view: View) -> Bounds:
        """Return what a view shows, with the height or the width that it shares with others."""
        own = _bounds(self.drawings[view])
        if view is View.TOP and View.FRONT in self.drawings:
            front = _bounds(self.drawings[View.FRONT])
            return Bounds(
                min(own.left, front.left), own.bottom, max(own.right, front.right), own.top
            )
        others = [
            _bounds(self.drawings[other])
            for other in (View.FRONT, View.SIDE)
            if other in self.drawings and view is not View.TOP
        ]
        bottom = min([own.bottom, *(other.bottom for other in others)])
        top = max([own.top, *(other.top for other in others)])
        across = own
        if view is View.FRONT and View.TOP in self.drawings:
            flat = _bounds(self.drawings[View.TOP])
            across = Bounds(min(own.left, flat.left), 0.0, max(own.right, flat.right), 0.0)
        return Bounds(across.left, bottom, across.right, top)

    def place_of(self, view: View) -> tuple[float, float]:
        """Return the place of a view's title from the corner of the picture [mm]."""
        if len(self.drawings) == 1 or view is View.FRONT:
            return 0.0, 0.0
        width, height = self.size_of(View.FRONT)
        return (width + GAP, 0.0) if view is View.SIDE else (0.0, TITLE + height + GAP)

    @property
    def size(self) -> tuple[float, float]:
        """The width and the height of all views with their titles [mm]."""
        corners = [
            (x + width, y + TITLE + height)
            for (x, y), (width, height) in (
                (self.place_of(view), self.size_of(view)) for view in self.drawings
            )
        ]
        return max(x for x, _ in corners), max(y for _, y in corners)

    def paint(self, ink: Ink, box: Box) -> None:
        """Paint the views in the middle of a box."""
        left, top, width, _ = box
        left += max(0.0, (width - self.size[0]) / 2)
        medium = paper_medium(BLACK, DOTS, 11.5, font_of(FINE))
        for view in self.drawings:
            x, y = self.place_of(view)
            self._paint_view(ink, view, left + x, top + y, medium)

    def _paint_view(self, ink: Ink, view: View, x: float, y: float, medium: Medium) -> None:
        width, height = self.size_of(view)
        ink.write(x, y + 3.4, self.titles[view], SMALL_STRONG, width=width)
        y += TITLE
        bounds, per = self.bounds_of(view), DOTS / self.scale
        frame = Frame(
            per,
            DOTS * (x + AROUND) - per * bounds.left,
            DOTS * (y + height - BELOW[view]) + per * bounds.bottom,
        )
        area = x * DOTS, y * DOTS, width * DOTS, height * DOTS
        paint_drawing(ink.painter, self.drawings[view], frame, area, medium)
        ink.box(x, y, width, height, THIN)


def arranged(
    drawings: Mapping[View, Drawing], titles: Mapping[View, str], width: float, height: float
) -> Arrangement:
    """Return the views at the largest scale at which they fit."""
    for scale in SCALES:
        arrangement = Arrangement(drawings, titles, scale)
        across, down = arrangement.size
        if across <= width and down <= height:
            break
    return arrangement


def paint_scale(ink: Ink, right: float, top: float, scale: float, units: Units) -> None:
    """Paint a bar of a round length, and the scale at full size."""
    bars = [bar for bar in BARS[units] if bar[0] / scale <= LONGEST]
    size, words = bars[-1]
    length = size / scale
    ink.write(right, top + 4.6, f"1 : {scale:g} at 100 %", STRONG, "right")
    end = right - 46.0
    start, y = end - length, top + 4.4
    ink.rule((start, y), (end, y), 2 * MIDDLE)
    for x in (start, start + length / 2, end):
        ink.rule((x, y - 1.4), (x, y + 0.35), THIN)
    ink.write(start - 1.5, y + 0.2, words, FINE, "right")


def drawing_leaf(
    study: Study[Any], view: View | None, imprint: Imprint, second: SecondCar | None = None
) -> Leaf:
    """Return all views, or one, as large as a leaf lets them be; a second car as on the board."""
    leaf = blank_leaf(study, drawing_name(study, view), imprint, second)
    _, _, width, height = leaf.box
    drawings = drawings_of(study, view, imprint.decimal, second)
    views = arranged(drawings, study.system.views, width, height)

    def scale(ink: Ink, right: float, top: float) -> None:
        paint_scale(ink, right, top, views.scale, study.setup.units)

    signs = signs_of(study, (Sign(THIN, (24.0, 3.0, 1.5, 3.0), "centrelines"),), second)
    return replace(leaf, signs=signs, note=NOTE, paint=views.paint, scale=scale)


def _bounds(drawing: Drawing) -> Bounds:
    assert drawing.bounds is not None
    return drawing.bounds
