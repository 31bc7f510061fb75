"""The window: head, changes, points, board, results, strip; it places them, computes nothing."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Final, cast

from PySide6.QtCore import QByteArray, QEvent, QPoint, QSettings, QSize, QTimer
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from app.board.board import Board
from app.desk.actions import Actions
from app.desk.asked_jobs import AskedJobs
from app.desk.doubts_bar import DoubtsBar
from app.desk.drawn import connect_drawn
from app.desk.foot_line import foot_line
from app.desk.head import Head
from app.desk.hint import Hint
from app.desk.laying_over import SecondBar
from app.desk.notice import Notice
from app.desk.speaking import Speaker
from app.desk.theme import Choice, apply, resolved
from app.document.doubts import doubted_first, doubts
from app.document.keys import KEYS
from app.document.model import AS_MEASURED, SETTLES
from app.document.plain_text import one_line
from app.drawing.views import View
from app.filing.dialogs import Dialogs
from app.filing.filing import Filing
from app.filing.recovery_writer import RecoveryWriter
from app.panels.bench.rear_bench import RearBench
from app.panels.curves.curves import CurvesPanel
from app.panels.fitted import Columns, Fitted, Pair
from app.panels.lists.changes import ChangesPanel
from app.panels.lists.points import PointsPanel
from app.panels.lists.results import ResultsPanel
from app.panels.lists.sentences import SentencesPanel
from app.panels.lists.tapes import TapesPanel
from app.panels.strip import PoseStrip
from app.panels.widgets import FRAME
from app.qt.border import fenced
from app.session.band_keeper import BandKeeper
from app.session.session import Session
from app.systems.answers import Pose

FIRST_SIZE: Final = QSize(1600, 1000)


@fenced
class Window(AskedJobs):
    """One open setup."""

    def __init__(self, session: Session, asker: Dialogs | None = None) -> None:
        super().__init__()
        self.session = session
        self.asker = asker or Dialogs(self)
        self.filing = Filing(session, self.asker)
        self.keeper = RecoveryWriter(session)
        self.bands = BandKeeper(session)
        self.paper = _paper_choice()
        self.curves = CurvesPanel(session)
        self.bench = RearBench(session, self.curves)
        self.board = Board(session, self.bench)
        self.changes, self.points = ChangesPanel(session), PointsPanel(session)
        self.tapes = TapesPanel(session)
        self.results, self.sentences = ResultsPanel(session), SentencesPanel(session)
        self.strip = PoseStrip(session)
        self.hint, self.notice, self.doubts = Hint(), Notice(), DoubtsBar(session)
        self.actions_ = Actions(self)
        self.speaker = Speaker(session, self)
        self._build()
        self._connect()
        self.set_paper(self.paper)
        self._show_title()
        self.board.views[View.FRONT].setFocus()

    # Building

    def _build(self) -> None:
        self.setMinimumSize(960, 600)
        self.setAcceptDrops(True)
        self.actions_.fill(self.menuBar())
        do = self.actions_
        buttons = [do.undo, do.redo, do.units, do.open, do.save, do.sheet]
        changes, points = self.changes, self.points
        results, sentences = self.results, self.sentences
        self._left = Pair((changes, changes.full_height), (points, points.full_height), 0.55)
        self._right = Pair((results, results.full_height), (sentences, sentences.full_height), 0.25)
        self._columns = Columns(_above(self._left, self.tapes), self.board, self._right)
        middle = QWidget()
        layout = QVBoxLayout(middle)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        bars = (self.hint, self.notice, self.doubts, SecondBar(self.session))
        for widget in (Head(self.session, buttons), *bars):
            layout.addWidget(widget)
        layout.addWidget(self._columns, 1)
        layout.addWidget(self.strip)
        self.setCentralWidget(middle)
        self.statusBar().setSizeGripEnabled(False)
        self.statusBar().addWidget(foot_line(self.session), 1)
        self._fold()
        self._restore()

    def _connect(self) -> None:
        session, board = self.session, self.board
        session.opened.connect(board.fit)
        session.opened.connect(self._show_problem)  # what was said of the other car goes
        session.setup_changed.connect(self._show_title)
        session.setup_changed.connect(self._refit)
        session.study_completed.connect(self._refit)  # results of another car are known by then
        session.system_changed.connect(self._refit)
        self.changes.fold.toggled.connect(self._fold)
        self.points.folded.connect(self._fold)
        session.said.connect(lambda words: self.statusBar().showMessage(one_line(words), 12000))
        session.problem_changed.connect(self._show_problem)
        self.results.result_selected.connect(board.mark)
        self.results.view.find_asked.connect(lambda *asked: self.find_where("", *asked))
        self.results.side_changed.connect(self.curves.show_side)
        self.results.side_changed.connect(board.show_side)
        self.results.side_changed.connect(self.points.show_side)
        self.sentences.result_chosen.connect(self._show_result)
        self.sentences.stopped.connect(self.results.show_stop)
        self.sentences.begun.connect(self.bands.begin)
        self.curves.title_double_clicked.connect(self.fill_with_bench)
        self.bench.fill_asked.connect(self.fill_with_bench)
        self.bench.board_wanted.connect(self.show_board)
        self.doubts.correction_asked.connect(self.measure_again)
        self.filing.half_measured.connect(self.go_on_measuring)
        self.filing.letting_go.connect(board.release)
        self.filing.taken_up.connect(self.keeper.take_over)
        board.edit_asked.connect(self.edit_point)
        board.menu_asked.connect(self.point_menu)
        connect_drawn(self)
        QApplication.styleHints().colorSchemeChanged.connect(self._follow_system)

    def parts(self) -> Iterator[tuple[str, QWidget]]:
        """Yield the four parts of the board with the words of the menu."""
        for view in View:
            yield f"Only the {view.title.lower()}", self.board.views[view]
        yield "Only the curves", self.bench

    def samples(self) -> list[tuple[str, Path]]:
        """Return the invented examples by title."""
        from app.document.samples import sample_titles

        return sample_titles()

    # What is shown

    def _show_result(self, key: str) -> None:
        """Open the result that a sentence is about; the keyboard follows if it was there."""
        self.results.show_result(key)
        holder = QApplication.focusWidget()
        if holder is not None and self.sentences.isAncestorOf(holder):
            self.results.view.setFocus()

    def set_paper(self, choice: Choice) -> None:
        """Take light or dark paper, or what the system has."""
        if choice != self.paper:  # each write waits for the disk
            self.paper = choice
            QSettings().setValue("paper", choice)
        app = cast(QApplication, QApplication.instance())
        name = resolved(app, choice)
        apply(app, name)
        panels = (
            self.changes,
            self.points,
            self.tapes,
            self.results,
            self.sentences,
            self.strip,
            self.curves,
        )
        for part in (self.board, self.bench, *panels):
            part.set_palette_name(name)

    def toggle_units(self) -> None:
        """Show inches for millimetres, and back."""
        self.session.set_units("in" if self.session.units == "mm" else "mm")

    def toggle_settle(self) -> None:
        """Let the end that is shown settle on its springs, or hold its height."""
        settles = self.session.height == SETTLES
        self.session.choose_height(AS_MEASURED if settles else SETTLES)

    def toggle_in_body(self) -> None:
        """Show both cars from one place in the body, or each from where it stands."""
        self.session.set_in_body(not self.session.in_body)

    def fill_with_bench(self) -> None:
        """Fill the board with its fourth part, or show all four again."""
        self.fill(None if self.board.is_filled() else self.bench)

    def show_board(self) -> None:
        """Show all four parts of the board, if one fills it."""
        if self.board.is_filled():
            self.fill(None)

    def fill(self, part: QWidget | None) -> None:
        """Fill the board with one of its parts, or show all four."""
        self.board.fill_with(part)
        self.bench.show_filled(part is self.bench)

    def change_over(self) -> None:
        """Show the next system of the car: the rear for the front, and back."""
        systems = self.session.systems()
        if systems:
            place = systems.index(self.session.system) + 1
            self.session.show(systems[place % len(systems)])

    def pose_at_rest(self) -> None:
        """Show the car where it stands, level and straight ahead."""
        self.session.set_pose(Pose())

    def _show_title(self) -> None:
        name = self.session.path.name if self.session.path else self.session.setup.title
        name = one_line(name).replace("[*]", "[*][*]")  # or it would say that it is unsaved
        self.setWindowTitle(f"{name}[*] – Wishboard")
        self.setWindowModified(not self.session.is_saved)

    def _refit(self) -> None:
        """Fit the columns to their content; not during a drag."""
        if self.session.preview_setup is None:
            for pair in (self._left, self.points.split, self._right):
                pair.refit()

    def _fold(self) -> None:
        """Give what is folded in the left column no more than its title."""
        self._left.fold(self.changes.fold.is_folded, self.points.is_folded)

    def _show_problem(self) -> None:
        session = self.session
        if session.problem is not None:
            words, setup = session.problem_words, session.setup
            if session.preview_setup is None:  # during a drag the drag is the cause
                words = doubted_first(words, doubts(setup), setup)
            self.statusBar().showMessage(words)
        else:
            self.statusBar().clearMessage()

    def _follow_system(self) -> None:
        if self.paper == "system":
            self.set_paper("system")

    # What loads when it is asked for, and works on the whole window

    def point_menu(self, key: object, place: QPoint) -> None:
        """Open the menu of a point."""
        if isinstance(key, str) and key in KEYS:
            from app.desk.point_menu import point_menu

            point_menu(self.session, key, self, self.edit_point, self.find_where).exec(place)

    def find_where(self, point: str = "", result: str = "", limit: bool = False) -> None:
        """Seek a change: with room for a point, for a result, or to keep its limit."""
        from app.desk.finding.opening import find_where

        find_where(self, point, result, limit)

    def find_where_selected(self) -> None:
        """Seek a change, with room for the point that is selected, if one is."""
        self.find_where(self.session.selection[0] if self.session.selection else "")

    def open_search(self) -> None:
        """Open the search over results, points, values, changes and commands."""
        from app.desk.search import find

        find(self)

    def show_clearances(self) -> None:
        """Show what parts take up and how near they may come, to be typed."""
        from app.desk.clearing.window import show_clearances

        show_clearances(self)

    def take_list(self) -> None:
        """Ask for a list of points that somebody else measured, and how it lies over the car."""
        from app.desk.point_list import take_list

        take_list(self)

    # Files that are dropped, and the end

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take setup files."""
        if _dropped(event) is not None:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open a setup file that was dropped."""
        path = _dropped(event)
        if path is not None:
            event.acceptProposedAction()
            QTimer.singleShot(0, lambda: self.filing.open_path(path))

    def closeEvent(self, event: QCloseEvent) -> None:
        """Leave only when no work is lost."""
        if not self.filing.may_leave():
            event.ignore()
            return
        self.keeper.close()
        settings = QSettings()
        settings.setValue("window/geometry", self.saveGeometry())
        for name, splitter in self._splitters().items():
            if state := splitter.kept_state():
                settings.setValue(f"window/{name}", state)
        for stand, sizes in self.board.arrangement.kept_sizes().items():
            settings.setValue(f"window/board {stand}", sizes)
        event.accept()

    def event(self, event: QEvent) -> bool:
        """End a drag when a dialog opens, since the dialog gets the mouse release."""
        if event.type() == QEvent.Type.WindowBlocked:
            self.board.release()
        return super().event(event)

    def _splitters(self) -> dict[str, Fitted]:
        """Return the splitters beside the board by the names that their states are kept under."""
        return {
            "columns": self._columns,
            "left": self._left,
            "points": self.points.split,
            "right": self._right,
        }

    def _restore(self) -> None:
        settings = QSettings()
        geometry = settings.value("window/geometry", QByteArray(), QByteArray)
        if not (isinstance(geometry, QByteArray) and geometry and self.restoreGeometry(geometry)):
            self.resize(FIRST_SIZE.boundedTo(self.screen().availableSize() - FRAME))
        for name, splitter in self._splitters().items():
            splitter.take_state(settings.value(f"window/{name}", QByteArray(), QByteArray))
        self.board.arrangement.take_sizes(
            lambda stand: str(settings.value(f"window/board {stand}", "", str))
        )


def _above(upper: QWidget, lower: QWidget) -> QWidget:
    """Return one part above another, which has no more height than it asks for."""
    column = QWidget()
    rows = QVBoxLayout(column)
    rows.setContentsMargins(0, 0, 0, 0)
    rows.setSpacing(1)
    rows.addWidget(upper, 1)
    rows.addWidget(lower)
    return column


def _paper_choice() -> Choice:
    choice = QSettings().value("paper", "system", str)
    return choice if choice in ("light", "dark", "system") else "system"


def _dropped(event: QDropEvent) -> Path | None:
    urls = event.mimeData().urls()
    if len(urls) != 1 or not urls[0].isLocalFile():
        return None
    path = Path(urls[0].toLocalFile())
    return path if path.suffix.casefold() == ".toml" else None
