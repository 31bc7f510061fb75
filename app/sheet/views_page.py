"""Page 2: the views to a stated scale, in drawing arrangement, with bars to check it by."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from app.document.moves import is_lopsided
from app.drawing.strokes import Bounds, Drawing
from app.drawing.views import Frame, View
from app.paint.painter import Medium, paint_drawing, paper_medium
from app.paint.palette import BLACK
from app.paper.check_bars import INCHES, upright_bars
from app.paper.faces import DOTS, FINE, SMALL_STRONG, font_of
from app.paper.flow import Block
from app.paper.ink import THIN, Ink
from app.paper.parts import heading
from app.paper.sizes import Paper
from app.sheet.rear_top import needs_top
from app.sheet.views_foot import FOOT, GAP, STRIP, TITLE, bounds_of, calm, paint_foot
from app.shop.points import point_rows
from app.systems.answers import Study
from app.systems.front.drawing.drawing import front_drawings
from app.systems.front.study import FrontAnswers
from app.systems.shown import Options, Shown
from geometry.dataclass import dataclass

Size = tuple[float, float]  # of paper [mm]

SCALES: Final = (2, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30)
READABLE: Final = 10  # a smaller scale is not taken only to save a page
ABOVE: Final = 8.0  # room for figures above a view [mm of paper]
BELOW: Final = 8.5  # and for those of the ground
BELOW_TRACK: Final = 15.5  # the same with the track, which is dimensioned under the rest
FOLLOWS: Final = 2.0  # what follows a job and moves less is seen in no view from above [mm]
MIDDLE_IN: Final = 50.0  # from the view's edge to the middle of the car [mm on the car]


@dataclass(frozen=True)
class Plan:
    """Where the views go at a scale of 1 to `scale`; sizes of paper [mm].

    `top_height` is 0 where the top view is left out.
    """

    scale: int
    front: Size
    side_width: float
    top_height: float
    below: float

    @property
    def height(self) -> float:
        """The height of views, titles, legend and bars [mm]."""
        top = GAP + TITLE + self.top_height if self.top_height else 0.0
        return max(TITLE + self.front[1] + top + FOOT, INCHES + 2.0)

    @property
    def width(self) -> float:
        """The width of front and side view with the bars beside them [mm]."""
        return self.front[0] + GAP + self.side_width + STRIP


def drawings_of(study: Study[FrontAnswers], decimal: str) -> dict[View, Drawing]:
    """Return the views of both cars at rest: both sides where they aren't alike."""
    lopsided = is_lopsided(study.setup, study.system.key)
    measured = study.measured.rest if study.changed else None
    shown = Shown(study, study.proposed.rest, measured)
    drawings = front_drawings(shown, Options(far_side=lopsided, decimal=decimal))
    drawings = {view: calm(drawing) for view, drawing in drawings.items()}
    return drawings if lopsided else {v: _left_half(v, d) for v, d in drawings.items()}


def _needs_top(study: Study[FrontAnswers]) -> bool:
    """Tell whether something moves forward or sideways, by a job or since it follows one."""
    if needs_top(study, "front"):
        return True
    places = ((row.measured, row.proposed) for row in point_rows(study))
    return any(
        was is not None
        and now is not None
        and max(abs(now[axis] - was[axis]) for axis in (0, 1)) >= FOLLOWS
        for was, now in places
    )


def _left_half(view: View, drawing: Drawing) -> Drawing:
    """Return a drawing with less paper beside the car's left half."""
    drawn_bounds = bounds_of(drawing)
    if view is View.SIDE:
        return drawing
    return replace(
        drawing, bounds=replace(drawn_bounds, left=-MIDDLE_IN, right=drawn_bounds.right - MIDDLE_IN)
    )


def views_block(
    study: Study[FrontAnswers], paper: Paper, room: float, table: float, decimal: str
) -> list[Block]:
    """Return the views as large as they fit; on a page with a table so high if they can."""
    drawings = drawings_of(study, decimal)
    plan = _chosen(drawings, paper, room - heading("", 0.0).height, table, _needs_top(study))
    if not plan.top_height:
        del drawings[View.TOP]

    def paint(ink: Ink, top: float) -> None:
        _Sheet(ink, paper, drawings, plan, top, study.changed).paint()

    title = f"Views · scale 1 : {plan.scale}"
    return [
        heading(title, paper.margin, "each car on its wheels", paper.right, gap=0.0),
        Block(plan.height, paint),
    ]


def _chosen(
    drawings: dict[View, Drawing], paper: Paper, room: float, table: float, needs_top: bool
) -> Plan:
    """Return the plan with the top view if it is needed or costs nothing, and with the table."""
    flat: dict[View, Drawing] = {
        view: drawing for view, drawing in drawings.items() if view is not View.TOP
    }
    wholes = [plan_for(drawings, paper, height) for height in (room - table, room)]
    flats = [plan_for(flat, paper, height) for height in (room - table, room)]
    largest = wholes[1] if needs_top else flats[1]
    if largest is None:
        return _plan(drawings, paper, SCALES[-1])
    readable = max(READABLE, largest.scale)
    for plan in (wholes[0], None if needs_top else flats[0]):
        if plan is not None and plan.scale <= readable:
            return plan
    return largest


def plan_for(drawings: dict[View, Drawing], paper: Paper, room: float) -> Plan | None:
    """Return the plan of the largest scale that fits a height [mm]."""
    plans = (_plan(drawings, paper, scale) for scale in SCALES)
    return next((p for p in plans if p.width <= paper.inner and p.height <= room), None)


def _plan(drawings: dict[View, Drawing], paper: Paper, scale: int) -> Plan:
    sizes = {view: _size(bounds_of(drawing), scale) for view, drawing in drawings.items()}
    below = BELOW_TRACK if bounds_of(drawings[View.FRONT]).left < -MIDDLE_IN else BELOW
    height = max(sizes[View.FRONT][1], sizes[View.SIDE][1]) + ABOVE + below
    width = sizes[View.FRONT][0] + GAP
    top = sizes[View.TOP][1] + ABOVE if View.TOP in sizes else 0.0
    return Plan(scale, (width, height), sizes[View.SIDE][0] + GAP, top, below)


def _size(bounds: Bounds, scale: int) -> Size:
    return (bounds.right - bounds.left) / scale, (bounds.top - bounds.bottom) / scale


@dataclass(frozen=True)
class _Sheet:
    """The views being painted."""

    ink: Ink
    paper: Paper
    drawings: dict[View, Drawing]
    plan: Plan
    top: float
    changed: bool

    def paint(self) -> None:
        plan, left = self.plan, self.paper.margin
        medium = paper_medium(BLACK, DOTS, 11.5, font_of(FINE))
        beside = left + plan.front[0] + GAP
        side = (self.paper.right - STRIP - beside, plan.front[1])
        self._view(View.FRONT, "Front view", left, self.top, plan.front, medium)
        self._view(View.SIDE, "Side view, left side", beside, self.top, side, medium)
        under_front = 0.0
        if plan.top_height:
            under = self.top + TITLE + plan.front[1] + GAP
            under_front = GAP + TITLE + plan.top_height
            size = (plan.front[0], plan.top_height)
            self._view(View.TOP, "Top view", left, under, size, medium)
        upright_bars(self.ink, self.paper.right - 7.5, self.top + 1.0)
        self._foot(self.top + TITLE + plan.front[1] + under_front)

    def _view(
        self, view: View, title: str, x: float, top: float, size: Size, medium: Medium
    ) -> None:
        self.ink.write(x, top + 3.4, title, SMALL_STRONG)
        y, (width, height) = top + TITLE, size
        area = x * DOTS, y * DOTS, width * DOTS, height * DOTS
        frame = self._frame(view, x, y, size)
        paint_drawing(self.ink.painter, self.drawings[view], frame, area, medium)
        self.ink.box(x, y, width, height, THIN)

    def _frame(self, view: View, x: float, y: float, size: Size) -> Frame:
        """Return where a view falls: it shares heights or widths with the front view."""
        per = DOTS / self.plan.scale
        front, drawn_bounds = bounds_of(self.drawings[View.FRONT]), bounds_of(self.drawings[view])
        across = drawn_bounds if view is View.SIDE else front
        middle = DOTS * (x + size[0] / 2) - per * (across.left + across.right) / 2
        if view is View.TOP:
            return Frame(per, middle, DOTS * (y + size[1]) + per * drawn_bounds.bottom)
        bottom = min(front.bottom, bounds_of(self.drawings[View.SIDE]).bottom)
        return Frame(per, middle, DOTS * (y + size[1] - self.plan.below) + per * bottom)

    def _foot(self, top: float) -> None:
        scales, right = f"1 : {self.plan.scale}", self.paper.right - STRIP
        signs = "fixed to the body; round: a joint"
        paint_foot(self.ink, self.paper, top, self.changed, signs, scales, right)
