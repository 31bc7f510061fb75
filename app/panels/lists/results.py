"""The results: measured, proposed and what moves, in the pose that is shown."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QButtonGroup, QWidget

from app.document.address import SIDES
from app.panels.lists.result_rows import pose_words, unreal_words
from app.panels.lists.results_view import ResultsView
from app.panels.shown_results import needs_words, results_asked
from app.panels.widgets import EDGE, FlatButton, Panel, small_label
from app.panels.writing import Writing
from app.qt.border import fenced
from app.qt.spoken import one_of_several
from app.session.between_frames import Pace
from app.session.session import Session
from app.shop.stops import OF_NO_CAR, STOPPED

STOP: Final = f"{STOPPED}: “What it does” says why. {OF_NO_CAR}"


class ResultsPanel(Panel):
    """The results with their heads, limits and meanings."""

    result_selected = Signal(str)  # key of the opened result, "" when none is
    side_changed = Signal(int)  # 0 left, 1 right

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, "Results", parent)
        self.view = ResultsView(session)
        self.view.result_selected.connect(self.result_selected)
        self.heads = ColumnHeads(self.view)
        self.problem = small_label()
        self.problem.setContentsMargins(EDGE, 0, EDGE, 2)
        self.problem.setForegroundRole(self.palette().ColorRole.BrightText)
        self._add_sides()
        for part in (self.heads, self.view, self.problem):
            self.rows.addWidget(part)
        self.rows.setStretchFactor(self.view, 1)
        self.is_stopped = False
        self._pace = Pace(session, self._say_problem, self)
        session.study_changed.connect(self._pace.follow)
        session.problem_changed.connect(self._say_problem)
        self._say_problem()

    def take_inks(self) -> None:
        """Hand the inks to the list."""
        paper = self.view.paper
        paper.inks, paper.faint = self.inks, self.inks.faded()
        self.view.viewport().update()
        self.heads.update()

    def full_height(self) -> int:
        """Return the height at which no result is out of view [px]."""
        return self.head.sizeHint().height() + self.heads.height() + self.view.full_height() + 20

    def _add_sides(self) -> None:
        """Add the switch between the left wheel and the right one."""
        self.sides = QButtonGroup(self)
        for side, name in enumerate(SIDES):
            button = FlatButton(name, f"Results of the {name} wheel")
            one_of_several(button)
            button.setChecked(side == self.view.side)
            self.sides.addButton(button, side)
            self.head.addWidget(button)
        self.sides.idClicked.connect(self.view.show_side)
        self.sides.idClicked.connect(self.side_changed)
        self.session.curves_changed.connect(self._offer_sides)
        self._offer_sides()

    def _offer_sides(self) -> None:
        """Offer the right wheel where it has results of its own."""
        of_wheels = [each for each in results_asked(self.session) if each.scope == "wheel"]
        is_known = any(not needs_words(self.session, result) for result in of_wheels)
        for button in self.sides.buttons():
            button.setVisible(is_known)

    def show_stop(self, is_stopped: bool) -> None:
        """Grey figures of what can't be made or can't stand, and say so, or no more."""
        self.is_stopped = is_stopped
        self._say_problem()

    def _say_problem(self) -> None:
        unreal = unreal_words(self.session)
        words = pose_words(self.session, unreal) or (STOP if self.is_stopped else "")
        self.problem.setVisible(bool(words))
        if words != self.problem.text():
            self.problem.setText(words)
        greyed = self.session.problem is not None or self.is_stopped or bool(unreal)
        self.view.set_greyed(greyed)

    def show_result(self, key: str) -> None:
        """Open a result's row and bring it into view, as a sentence about it asks for."""
        self.view.open_result(key)


@fenced
class ColumnHeads(QWidget):
    """The words above the columns of figures."""

    def __init__(self, view: ResultsView) -> None:
        super().__init__()
        self.view = view
        self.setFixedHeight(view.paper.faces.small_line + 4)
        view.session.second.changed.connect(self.update)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the three words at the right edges of their columns."""
        paper = self.view.paper
        columns = paper.columns(self.view.viewport().width())
        base = self.height() - 4
        writing = Writing(paper.faces)
        writing.put_right("small", "second", columns.measured, base, "as found")
        writing.put_right("small bold", "ink", columns.proposed, base, "as built")
        is_second = self.view.session.second.is_seen
        ink, words = ("other", "second") if is_second else ("accent", "change")
        writing.put_right("small", ink, columns.moves, base, words)  # type: ignore[arg-type]
        with QPainter(self) as painter:
            writing.write(painter, paper.inks)
