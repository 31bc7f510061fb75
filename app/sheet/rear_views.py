"""The rear's views to a stated scale: side view large, the axle from the front under it."""

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
from app.sheet.views_foot import FOOT, GAP, STRIP, TITLE, bounds_of, calm, paint_foot
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.drawing.drawing import rear_drawing
from app.systems.shown import Options, Shown
from geometry.dataclass import dataclass

SCALES: Final = (5, 6, 8, 10, 12, 15, 20)
READABLE: Final = 10  # a smaller scale of the side view is not taken only to save a page
STEPS: Final = 3  # scales that the axle from the front may be drawn at, the side view's first
ABOVE: Final = {View.SIDE: 9.0, View.FRONT: 6.0}  # room over a view for figures [mm of paper]
BELOW: Final = {View.SIDE: 9.0, View.FRONT: 15.5}  # and under the ground
BELOW_HALF: Final = 7.0  # under the ground of a half that bears no track
AROUND: Final = {View.SIDE: 84.0, View.FRONT: 24.0}  # paper that the drawing has on top [mm]
MIDDLE_IN: Final = 150.0  # from the view's edge to the middle of the car [mm on the car]
TITLES: Final = {View.SIDE: "Side view, left side", View.FRONT: "Axle, seen from the front"}


@dataclass(frozen=True)
class Plan:
    """Scales of the views, 1 to so much, and their heights and greatest width on paper [mm]."""

    scales: dict[View, int]
    heights: dict[View, float]
    width: float

    @property
    def height(self) -> float:
        """The height of views, titles, legend and bars [mm]."""
        return max(2 * TITLE + sum(self.heights.values()) + GAP + FOOT, INCHES + 2.0)

    @property
    def words(self) -> str:
        """The scales in words: "1 : 10", or that of each view."""
        return " and ".join(f"1 : {scale}" for scale in dict.fromkeys(self.scales.values()))


def rear_views_block(
    study: Study[RearAnswers], paper: Paper, room: float, table: float, decimal: str
) -> list[Block]:
    """Return the views as large as they fit; on a page with a table so high if they can."""
    drawings = _drawings(study, decimal)
    plan = _chosen(drawings, paper, room - heading("", 0.0).height, table)

    def paint(ink: Ink, top: float) -> None:
        _Sheet(ink, paper, drawings, plan, top, study.changed).paint()

    title, note = f"Views · scale {plan.words}", "each car on its wheels"
    return [heading(title, paper.margin, note, paper.right, gap=0.0), Block(plan.height, paint)]


def _drawings(study: Study[RearAnswers], decimal: str) -> dict[View, Drawing]:
    """Return both views of both cars at rest: the left half alone where the right is its mirror."""
    lopsided = is_lopsided(study.setup, study.system.key) or study.proposed.kind != "leaf axle"
    measured = study.measured.rest if study.changed else None
    shown = Shown(study, study.proposed.rest, measured)
    options = Options(far_side=lopsided, decimal=decimal)
    side = calm(rear_drawing(shown, View.SIDE, options))
    front = calm(rear_drawing(shown, View.FRONT, replace(options, compare=False)))
    if not lopsided:
        front = replace(front, bounds=replace(bounds_of(front), left=-MIDDLE_IN))
    return {View.SIDE: side, View.FRONT: front}


def _chosen(drawings: dict[View, Drawing], paper: Paper, room: float, table: float) -> Plan:
    """Return the plan of the largest scales that fit, with the table if that is readable."""
    pairs = ((i, j) for i in range(len(SCALES)) for j in range(i, min(i + STEPS, len(SCALES))))
    plans = [_plan(drawings, SCALES[side], SCALES[front]) for side, front in pairs]
    fit = [plan for plan in plans if plan.width <= paper.inner - STRIP and plan.height <= room]
    if not fit:
        return plans[-1]
    readable = max(READABLE, fit[0].scales[View.SIDE])
    beside = (
        plan for plan in fit if plan.height <= room - table and plan.scales[View.SIDE] <= readable
    )
    return next(beside, fit[0])


def _plan(drawings: dict[View, Drawing], side: int, front: int) -> Plan:
    scales = {View.SIDE: side, View.FRONT: front}
    sizes = {view: _fitted(view, drawings[view], scale) for view, scale in scales.items()}
    heights = {view: (at.top - at.bottom) / scales[view] for view, at in sizes.items()}
    width = max((at.right - at.left) / scales[view] for view, at in sizes.items())
    return Plan(scales, heights, width)


def _fitted(view: View, drawing: Drawing, scale: int) -> Bounds:
    """Return a drawing's bounds with the room that its figures need on paper; the ground is 0."""
    drawn_bounds = bounds_of(drawing)
    below = BELOW_HALF if _is_half(view, drawn_bounds) else BELOW[view]
    top = drawn_bounds.top - AROUND[view] + ABOVE[view] * scale
    return replace(drawn_bounds, bottom=-below * scale, top=top)


def _is_half(view: View, bounds: Bounds) -> bool:
    return view is View.FRONT and bounds.left >= -MIDDLE_IN


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
        under = self.top + TITLE + self.plan.heights[View.SIDE] + GAP
        self._view(View.SIDE, self.top, medium)
        self._view(View.FRONT, under, medium)
        upright_bars(self.ink, self.paper.right - 7.5, self.top + 1.0)
        self._foot(under + TITLE + self.plan.heights[View.FRONT])

    def _view(self, view: View, top: float, medium: Medium) -> None:
        """Paint a view in its box; that of a half is no wider than the half."""
        x, y = self.paper.margin, top + TITLE
        scale, height = self.plan.scales[view], self.plan.heights[view]
        self.ink.write(x, top + 3.4, f"{TITLES[view]}, 1 : {scale}", SMALL_STRONG)
        drawn_bounds, per = _fitted(view, self.drawings[view], scale), DOTS / scale
        half = _is_half(view, drawn_bounds)
        width = (drawn_bounds.right - drawn_bounds.left) / scale + GAP if half else self.width
        middle = DOTS * (x + width / 2) - per * (drawn_bounds.left + drawn_bounds.right) / 2
        frame = Frame(per, middle, DOTS * (y + height) + per * drawn_bounds.bottom)
        area = x * DOTS, y * DOTS, width * DOTS, height * DOTS
        paint_drawing(self.ink.painter, self.drawings[view], frame, area, medium)
        self.ink.box(x, y, width, height, THIN)

    def _foot(self, top: float) -> None:
        scales, right = self.plan.words, self.paper.right
        signs = "fixed to the body; round: on the axle"
        paint_foot(self.ink, self.paper, top, self.changed, signs, scales, right)
