"""The board: front, side and top view in drawing arrangement, and the curves in the fourth."""

from __future__ import annotations

from time import monotonic
from typing import Final

from PySide6.QtCore import QEvent, QLocale, Qt, Signal
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from app.board.links import ViewLinks
from app.board.view import BoardView
from app.drawing.front import Options, Shown, front_drawings
from app.drawing.strokes import Paper
from app.drawing.views import View
from app.gestures.move_points import MovePoints
from app.gestures.pose_car import PoseCar
from app.hover import hover_note
from app.session import Session
from app.study import Study
from geometry.front_sweeps import Sweep

SHIFT: Final = Qt.KeyboardModifier.ShiftModifier
ALT: Final = Qt.KeyboardModifier.AltModifier


class Board(QWidget):
    """Shows the session's study and turns hands on it into gestures."""

    edit_asked = Signal(str)  # a point's key: type its place
    menu_asked = Signal(object, object)  # key or None, global place

    def __init__(self, session: Session, fourth: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.fourth = fourth
        self.marked: str | None = None
        self.views = {view: BoardView(view) for view in View}
        self.points, self.car = MovePoints(session), PoseCar(session)
        front, side, top = (self.views[view] for view in View)
        self.links = ViewLinks(front, side, top)
        self._rows = QSplitter(Qt.Orientation.Vertical)
        self._upper, self._lower = _row(front, side), _row(top, fourth)
        self._lay_out()
        for board_view in self.views.values():
            self._connect(board_view)
        session.study_changed.connect(self.redraw)
        session.curves_changed.connect(self._redraw_whole)
        session.selection_changed.connect(self._show_selection)
        session.locks_changed.connect(self.redraw)
        session.units_changed.connect(self._show_units)
        session.problem_changed.connect(self._show_problem)
        self._show_units()
        self._show_problem()
        self.redraw()

    # What is shown

    def redraw(self) -> None:
        """Draw the session's poses in every view that can be seen."""
        shown = self._shown()
        if shown is None:
            return
        options = Options(decimal=QLocale().decimalPoint(), result=self.marked or "")
        for kind, drawing in front_drawings(shown, options).items():
            self.views[kind].set_drawing(drawing)

    def mark(self, result_key: str | None) -> None:
        """Mark on the drawing what a result is measured between."""
        self.marked = result_key
        self.redraw()

    def fit(self) -> None:
        """Show the whole car in every view."""
        self.links.fit_all()

    def set_palette_name(self, name: str) -> None:
        """Take the inks of a paper."""
        for view in self.views.values():
            view.set_palette_name(name)

    def fill_with(self, widget: QWidget | None) -> None:
        """Fill the board with one of its four parts, or show all four again."""
        for part in (*self.views.values(), self.fourth):
            part.setVisible(widget is None or part is widget)
        self._upper.setVisible(any(not part.isHidden() for part in self._parts(self._upper)))
        self._lower.setVisible(any(not part.isHidden() for part in self._parts(self._lower)))
        self.redraw()
        self.fit()

    def is_filled(self) -> bool:
        """Tell whether one part fills the board."""
        return any(part.isHidden() for part in (*self.views.values(), self.fourth))

    def _shown(self) -> Shown | None:
        session = self.session
        study, proposed, measured = session.study, session.proposed, session.measured
        if not (isinstance(study, Study) and isinstance(proposed, Sweep)):
            return None
        was = measured if isinstance(measured, Sweep) else None
        return Shown(study, proposed, was, frozenset(session.locks), self._wrong())

    def _wrong(self) -> frozenset[str]:
        """Return the two points that can't be brought together."""
        problem = self.session.problem
        names = (getattr(problem, "first", ""), getattr(problem, "second", ""))
        return frozenset(f"front.{name}" for name in names if name)

    def _redraw_whole(self) -> None:
        if not self.points.is_held:
            self.redraw()

    def _show_selection(self) -> None:
        for view in self.views.values():
            view.set_selection(self.session.selection)

    def _show_units(self) -> None:
        for view in self.views.values():
            view.set_units(self.session.units)

    def _show_problem(self) -> None:
        problem = self.session.problem
        for view in self.views.values():
            view.set_unreachable(str(problem) if problem else "")
        self.redraw()

    # Layout

    def _lay_out(self) -> None:
        for row in (self._upper, self._lower):
            self._rows.addWidget(row)
            row.setSizes([1000, 640])
        self._rows.setSizes([1000, 730])
        self._rows.setChildrenCollapsible(False)
        self._upper.splitterMoved.connect(lambda: self._lower.setSizes(self._upper.sizes()))
        self._lower.splitterMoved.connect(lambda: self._upper.setSizes(self._lower.sizes()))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._rows)

    def _parts(self, row: QSplitter) -> list[QWidget]:
        widgets = (row.widget(index) for index in range(row.count()))
        return [widget for widget in widgets if widget is not None]

    # Hands

    def _connect(self, view: BoardView) -> None:
        view.pressed.connect(self._press)
        view.dragged.connect(self._drag)
        view.released.connect(self._release)
        view.cancelled.connect(self._cancel)
        view.nudged.connect(self._nudge)
        view.hovered.connect(self._hover)
        view.selection_requested.connect(self._select)
        view.point_double_clicked.connect(self.edit_asked)
        view.context_requested.connect(self.menu_asked)
        view.title_double_clicked.connect(self._toggle_filled)

    def _sender(self) -> BoardView:
        view = self.sender()
        assert isinstance(view, BoardView)
        return view

    def _press(self, key: str, place: Paper, modifiers: Qt.KeyboardModifier) -> None:
        if is_grip(key):
            self.car.begin(key, place, self._sender().view)
        else:
            self.points.begin(key, place, self._sender().view)

    def _drag(self, key: str, place: Paper, modifiers: Qt.KeyboardModifier) -> None:
        if is_grip(key):
            self.car.move(place)
        else:
            self.points.move(place, bool(modifiers & SHIFT), bool(modifiers & ALT))

    def _release(self, key: str) -> None:
        if is_grip(key):
            self.car.commit()
        else:
            self.points.commit()

    def _cancel(self) -> None:
        self.car.cancel()
        self.points.cancel()

    def _nudge(self, key: str, du: float, dv: float, modifiers: object) -> None:
        if is_grip(key):
            self.car.begin(key, (600.0, 0.0), View.FRONT)
            self.car.move((600.0, dv))
            self.car.commit()
            return
        self.points.nudge(key, self._sender().view.lift(du, dv), monotonic())

    def _select(self, key: str, add: bool) -> None:
        if not is_grip(key):
            self.session.select((key,) if key else (), add)

    def _hover(self, key: str | None) -> None:
        self._sender().set_note(self._note(key) if key else "")

    def _note(self, key: str) -> str:
        return hover_note(self.session, key)

    def _toggle_filled(self) -> None:
        self.fill_with(None if self.is_filled() else self._sender())

    def changeEvent(self, event: QEvent) -> None:
        """Redraw with new fonts."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.redraw()


def is_grip(key: str) -> bool:
    """Tell whether a key is the wheel's or the ground's, not a point's."""
    return key.startswith(("wheel:", "ground:"))


def _row(*parts: QWidget) -> QSplitter:
    row = QSplitter(Qt.Orientation.Horizontal)
    for part in parts:
        row.addWidget(part)
    row.setChildrenCollapsible(False)
    return row
