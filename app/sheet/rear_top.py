"""The rear from above, where something moves forward or sideways."""

from __future__ import annotations

from typing import Any, Final

from app.document.ends import is_in
from app.document.moves import total_moves
from app.drawing.strokes import Bounds
from app.drawing.views import Frame, View
from app.paint.painter import paint_drawing, paper_medium
from app.paint.palette import BLACK
from app.paper.faces import DOTS, FINE, SMALL, font_of
from app.paper.flow import Block, kept
from app.paper.ink import THIN, Ink
from app.paper.parts import heading
from app.paper.sizes import Paper
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.drawing.drawing import rear_drawing
from app.systems.shown import Options, Shown

SCALES: Final = (8, 10, 12, 15, 20, 25, 30)
HIGHEST: Final = 105.0  # of the view on paper [mm]
AROUND: Final = 40.0  # room around what is drawn, on the car [mm]
LEAST: Final = 0.05  # a smaller move is none [mm]
NOTE: Final = "Lay a rule on the bars of the other views first: they say whether scales hold."


def needs_top(study: Study[Any], end: str) -> bool:
    """Tell whether a point of an end moves forward or sideways, on either side."""
    moves = total_moves(study.setup)
    return any(max(abs(x), abs(y)) >= LEAST for key, (x, y, _) in moves.items() if is_in(end, key))


def top_view_blocks(study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    """Return the view from above with its heading; nothing where it would show no move."""
    if not needs_top(study, "rear"):
        return []
    shown = Shown(study, study.proposed.rest, study.measured.rest if study.changed else None)
    drawing = rear_drawing(shown, View.TOP, Options(far_side=True, decimal=decimal))
    bounds = drawing.bounds
    assert bounds is not None
    bounds = Bounds(
        bounds.left - AROUND, bounds.bottom - AROUND, bounds.right + AROUND, bounds.top + AROUND
    )
    wide, high = bounds.right - bounds.left, bounds.top - bounds.bottom
    fits = (s for s in SCALES if wide / s <= paper.inner and high / s <= HIGHEST)
    scale = next(fits, SCALES[-1])
    width, height = wide / scale, high / scale

    def paint(ink: Ink, top: float) -> None:
        per, x = DOTS / scale, paper.margin
        middle = DOTS * (x + width / 2) - per * (bounds.left + bounds.right) / 2
        frame = Frame(per, middle, DOTS * (top + height) + per * bounds.bottom)
        area = x * DOTS, top * DOTS, width * DOTS, height * DOTS
        paint_drawing(
            ink.painter, drawing, frame, area, paper_medium(BLACK, DOTS, 11.5, font_of(FINE))
        )
        ink.box(x, top, width, height, THIN)
        ink.write(x, top + height + 4.0, NOTE, SMALL)

    title = f"From above · scale 1 : {scale}"
    note = "each car on its wheels; forward is up"
    return kept([heading(title, paper.margin, note, paper.right), Block(height + 5.2, paint)])
