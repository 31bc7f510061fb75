"""The rear's views to a stated scale: side view large, the axle from the front under it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from app.document.model import Setup
from app.drawing.rear import RearOptions, RearShown, rear_drawings
from app.drawing.strokes import Bounds, Drawing, OffViewPointer
from app.drawing.views import Frame, View
from app.paint.painter import Medium, paint_drawing, paper_medium
from app.paint.palette import BLACK
from app.rear_study import RearStudy
from app.sheet.check_bars import INCHES, level_bars, upright_bars
from app.sheet.faces import DOTS, FINE, SMALL, SMALL_STRONG, STRONG, font_of
from app.sheet.flow import Block
from app.sheet.ink import MIDDLE, THICK, THIN, Ink
from app.sheet.paper import Paper
from app.sheet.parts import heading

SCALES: Final = (5, 6, 8, 10, 12, 15, 20)
READABLE: Final = 10  # a smaller scale is not taken only to save a page
ROOM: Final = 5.0  # for figures above and below a view [mm of paper]
TITLE: Final = 4.6
GAP: Final = 3.0
STRIP: Final = 11.0  # for the upright bars at the right edge
FOOT: Final = 17.5  # for legend and level bars under the views
MIDDLE_IN: Final = 50.0  # from the view's edge to the middle of the car [mm on the car]
TITLES: Final = {View.SIDE: "Side view, left side", View.FRONT: "Axle, seen from the front"}


@dataclass(frozen=True)
class Plan:
    """Heights of the views on paper at a scale of 1 to `scale` [mm]."""

    scale: int
    side: float
    front: float
    width: float

    @property
    def height(self) -> float:
        """The height of views, titles, legend and bars [mm]."""
        return max(2 * TITLE + self.side + GAP + self.front + FOOT, INCHES + 2.0)


def rear_views_block(
    study: RearStudy, paper: Paper, room: float, table: float, decimal: str
) -> list[Block]:
    """Return the views as large as they fit; on a page with a table so high if they can."""
    drawings = _drawings(study, decimal)
    plan = _chosen(drawings, paper, room - heading("", 0.0).height, table)

    def paint(ink: Ink, top: float) -> None:
        _Sheet(ink, paper, drawings, plan, top, study.changed).paint()

    return [
        heading(
            f"Views · scale 1 : {plan.scale}",
            paper.margin,
            "at the height as measured",
            paper.right,
            gap=0.0,
        ),
        Block(plan.height, paint),
    ]


def _drawings(study: RearStudy, decimal: str) -> dict[View, Drawing]:
    """Return both views of both cars at rest: the left half alone where the right is its mirror."""
    lopsided = is_lopsided(study.setup) or study.proposed.kind != "leaf axle"
    measured = study.measured.rest if study.changed else None
    shown = RearShown(study, study.proposed.rest, measured)
    found = rear_drawings(shown, RearOptions(far_side=lopsided, decimal=decimal))
    side, front = _calm(found[View.SIDE]), _calm(found[View.FRONT])
    if not lopsided:
        front = replace(front, bounds=replace(_bounds(front), left=-MIDDLE_IN))
    return {View.SIDE: side, View.FRONT: front}


def _calm(drawing: Drawing) -> Drawing:
    """Return a drawing whose words on far centres are left out where there is no room."""
    calm = (
        replace(stroke, priority=0) if isinstance(stroke, OffViewPointer) else stroke
        for stroke in drawing.strokes
    )
    return replace(drawing, strokes=tuple(calm))


def is_lopsided(setup: Setup) -> bool:
    """Tell whether the right side has points or moves of its own."""
    moved = (key for change in setup.changes if change.on for key in (*change.moves, *change.sets))
    return any(key.startswith("rear.right.") for key in (*setup.evidence, *moved))


def _chosen(drawings: dict[View, Drawing], paper: Paper, room: float, table: float) -> Plan:
    """Return the plan of the largest scale that fits, with the table if that is readable."""
    plans = [_plan(drawings, scale) for scale in SCALES]
    fit = [plan for plan in plans if plan.width <= paper.inner - STRIP and plan.height <= room]
    if not fit:
        return plans[-1]
    readable = max(READABLE, fit[0].scale)
    beside = (plan for plan in fit if plan.height <= room - table and plan.scale <= readable)
    return next(beside, fit[0])


def _plan(drawings: dict[View, Drawing], scale: int) -> Plan:
    sizes = {view: _bounds(drawing) for view, drawing in drawings.items()}
    heights = {view: (at.top - at.bottom) / scale + ROOM for view, at in sizes.items()}
    width = max((at.right - at.left) / scale for at in sizes.values())
    return Plan(scale, heights[View.SIDE], heights[View.FRONT], width)


def _bounds(drawing: Drawing) -> Bounds:
    assert drawing.bounds is not None
    return drawing.bounds


@dataclass(frozen=True)
class _Sheet:
    """The views being painted."""

    ink: Ink
    paper: Paper
    drawings: dict[View, Drawing]
    plan: Plan
    top: float
    changed: bool

    @property
    def width(self) -> float:
        """The width of a view [mm]."""
        return self.paper.inner - STRIP

    def paint(self) -> None:
        medium = paper_medium(BLACK, DOTS, 11.5, font_of(FINE))
        under = self.top + TITLE + self.plan.side + GAP
        self._view(View.SIDE, self.top, self.plan.side, medium)
        self._view(View.FRONT, under, self.plan.front, medium)
        upright_bars(self.ink, self.paper.right - 7.5, self.top + 1.0)
        self._foot(under + TITLE + self.plan.front)

    def _view(self, view: View, top: float, height: float, medium: Medium) -> None:
        x, y = self.paper.margin, top + TITLE
        self.ink.write(x, top + 3.4, TITLES[view], SMALL_STRONG)
        own, per = _bounds(self.drawings[view]), DOTS / self.plan.scale
        middle = DOTS * (x + self.width / 2) - per * (own.left + own.right) / 2
        frame = Frame(per, middle, DOTS * (y + height - ROOM / 2) + per * own.bottom)
        area = x * DOTS, y * DOTS, self.width * DOTS, height * DOTS
        paint_drawing(self.ink.painter, self.drawings[view], frame, area, medium)
        self.ink.box(x, y, self.width, height, THIN)

    def _foot(self, top: float) -> None:
        """Say what lines and signs mean, and that the scale holds at full size only."""
        left, y = self.paper.margin, top + 4.2
        lines: list[tuple[float, tuple[float, ...], str]] = [(THICK, (), "as measured")]
        if self.changed:
            lines = [(THICK, (), "as proposed"), (THIN, (12.0, 3.0), "as measured")]
        lines.append((THIN, (24.0, 3.0, 1.5, 3.0), "centrelines"))
        for index, (weight, dashes, words) in enumerate(lines):
            x = left + 38.0 * index
            self.ink.chain([(x, y - 1.0), (x + 11.0, y - 1.0)], weight, dashes)
            self.ink.write(x + 13.0, y, words, FINE)
        x = left + 38.0 * len(lines) + 2.0
        self.ink.box(x, y - 2.2, 2.2, 2.2, MIDDLE)
        self.ink.write(x + 4.0, y, "fixed to the body; round: on the axle", FINE)
        level_bars(self.ink, left, top + 6.4)
        self._scale(left + INCHES + 4.0, top)

    def _scale(self, x: float, top: float) -> None:
        told = (
            (f"1 : {self.plan.scale} when printed at 100 %", STRONG),
            ("that is “actual size”: lay a rule on the", SMALL),
            ("bars before measuring on this page.", SMALL),
        )
        for index, (words, face) in enumerate(told):
            baseline = top + 9.4 + 3.7 * index
            self.ink.write(x, baseline, words, face, width=self.paper.right - x)
