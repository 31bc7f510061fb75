"""Keeps the three views in drawing arrangement: shared heights, shared widths, one scale."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QObject

from app.board.canvas import Canvas
from app.drawing.strokes import Bounds
from app.drawing.views import Frame


class ViewLinks(QObject):
    """Front and side share heights, front and top share widths, and all three one scale.

    The views are meant to stand in a grid: side to the right of front, top under front. With
    `side_is_apart` the side view keeps a scale of its own.
    """

    def __init__(self, front: Canvas, side: Canvas, top: Canvas) -> None:
        super().__init__(front)
        self._front, self._side, self._top = front, side, top
        self._following = self.side_is_apart = False
        for view in self._views():
            view.fitter = self.fit_all
        front.view_changed.connect(self._follow_front)
        side.view_changed.connect(self._follow_side)
        top.view_changed.connect(self._follow_top)

    def _views(self) -> tuple[Canvas, Canvas, Canvas]:
        return self._front, self._side, self._top

    def fit_all(self) -> None:
        """Show every drawing whole at the largest scale that all visible views can take."""
        shown = [v for v in self._views() if v.isVisibleTo(v.window()) and v.drawing.bounds]
        if self.side_is_apart and self._side in shown:
            shown.remove(self._side)
            self._side.is_fitted = True
            self._side.fit_alone()
        if not shown:
            return
        scale = min(view.fit_scale() for view in shown)
        bounds = {view: view.drawing.bounds for view in shown}
        heights = _joined([bounds.get(self._front), bounds.get(self._side)])
        widths = _joined([bounds.get(self._front), bounds.get(self._top)])
        self._following = True
        for view in shown:
            drawn_bounds = view.drawing.bounds
            assert drawn_bounds is not None
            view.is_fitted = True
            view.show_frame(view.centred(self._shared(view, drawn_bounds, heights, widths), scale))
        self._following = False

    def _shared(
        self, view: Canvas, bounds: Bounds, heights: Bounds | None, widths: Bounds | None
    ) -> Bounds:
        """Return a view's bounds with the height or width it shares with its siblings."""
        if heights is not None and view is not self._top:
            bounds = replace(bounds, bottom=heights.bottom, top=heights.top)
        if widths is not None and view is not self._side:
            bounds = replace(bounds, left=widths.left, right=widths.right)
        return bounds

    def _follow_front(self, frame: Frame) -> None:
        if self._may_lead(self._front):
            if not self.side_is_apart:
                _match(self._side, frame.scale, y=frame.y)
            _match(self._top, frame.scale, x=frame.x)
            self._following = False

    def _follow_side(self, frame: Frame) -> None:
        if not self.side_is_apart and self._may_lead(self._side):
            _match(self._front, frame.scale, y=frame.y)
            _match(self._top, frame.scale, x=self._front.frame.x)
            self._following = False

    def _follow_top(self, frame: Frame) -> None:
        if self._may_lead(self._top):
            _match(self._front, frame.scale, x=frame.x)
            if not self.side_is_apart:
                _match(self._side, frame.scale, y=self._front.frame.y)
            self._following = False

    def _may_lead(self, leader: Canvas) -> bool:
        """Tell whether the user moved a view; then the others follow it, fitted if it is."""
        if self._following:
            return False
        self._following = True
        for view in self._views():
            if view is not self._side or not self.side_is_apart:
                view.is_fitted = leader.is_fitted
        return True


def _match(view: Canvas, scale: float, x: float | None = None, y: float | None = None) -> None:
    """Give a view the scale, about its middle, and the place of the axis it shares."""
    middle, frame = view.paper_area().center(), view.frame
    frame = frame.zoomed(scale / frame.scale, middle.x(), middle.y())
    view.show_frame(replace(frame, x=frame.x if x is None else x, y=frame.y if y is None else y))


def _joined(bounds: list[Bounds | None]) -> Bounds | None:
    """Return the rectangle around those that are there."""
    given_bounds = [b for b in bounds if b is not None]
    if not given_bounds:
        return None
    whole = given_bounds[0]
    for other in given_bounds[1:]:
        whole = whole.joined(other)
    return whole
