"""Find where this must be: what is wanted, what may move, and the changes that bring it about."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QCloseEvent, QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QFrame,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.desk.finding.answers import AnswersView
from app.desk.finding.asking import Asking
from app.desk.finding.previewing import Preview
from app.document.model import Setup, Units
from app.qt.border import fenced
from app.session.find_keeper import FindKeeper

if TYPE_CHECKING:
    from app.desk.window import Window
    from app.judge.told_answers import AnswerTable

TITLE: Final = "Find where this must be"
_FIRST: Final = (
    "Find seeks the least move inside the room that brings about what is wanted, limits kept, and "
    "shows the answers here. Nothing is changed until one is taken."
)
_GOING: Final = "Seeking…"
_STOPPED: Final = "Stopped: nothing was found, nothing is changed."
_MET: Final = "All that is wanted can be had. Choose an answer to see it on the drawing."
_NEAREST: Final = (
    "Not all can be had: this comes nearest. Choose an answer to see it on the drawing."
)
_OLD: Final = "The car has been changed since. Find again."
_SHOWN: Final = "{head} is shown on the drawing; it isn't taken yet."
_STEP: Final = "wants and room"  # one step of history, as long as nothing else is done
SHARE: Final = (0.56, 0.8)  # of the window's width and height
LEAST, MOST = (700, 570), (900, 1100)  # px


@fenced
class FindWindow(QDialog):
    """Stands beside the window, which stays in use; it keeps what was typed when it is closed."""

    def __init__(self, window: Window, keeper: FindKeeper | None = None) -> None:
        super().__init__(window)
        self.window_, self.session = window, window.session
        self.keeper = keeper or FindKeeper(self)
        self.preview = Preview(self.session, window, self._edits)
        self.asking = Asking(self.session)
        self.wants, self.rooms = self.asking.wants, self.asking.rooms
        self.answers = AnswersView()
        self.says = QLabel(_FIRST, textFormat=Qt.TextFormat.PlainText, wordWrap=True)
        self.tables: dict[Units, AnswerTable] = {}
        self._sought: Setup | None = None
        self._seen = self.session.history.value
        self.setWindowTitle(TITLE)
        self._make_buttons()
        self._lay_out()
        self._connect()
        self._fill()

    # Building

    def _make_buttons(self) -> None:
        self.seek, self.stop = QPushButton("&Find"), QPushButton("&Stop")
        self.take, self.leave = QPushButton("&Take it"), QPushButton("Close")
        self.going = QProgressBar()
        self.going.setRange(0, 100)
        self.going.setTextVisible(False)
        self.going.setAccessibleName("How far the search is")
        for button in (self.stop, self.take, self.leave):
            button.setAutoDefault(False)
        self.seek.setDefault(True)

    def _lay_out(self) -> None:
        self.asking.line.addStretch()
        self.asking.line.addWidget(self.stop)
        self.asking.line.addWidget(self.seek)
        layout = QVBoxLayout(self)
        layout.addWidget(self.asking, 2)
        layout.addWidget(_line())
        layout.addWidget(self.says)
        layout.addWidget(self.going)
        layout.addWidget(self.answers, 3)
        layout.addStretch(0)
        layout.addLayout(self._ending())

    def _ending(self) -> QHBoxLayout:
        line = QHBoxLayout()
        line.addStretch()
        line.addWidget(self.leave)
        line.addWidget(self.take)
        return line

    def _connect(self) -> None:
        session = self.session
        self.seek.clicked.connect(self._find)
        self.stop.clicked.connect(self._stop)
        self.take.clicked.connect(self._take)
        self.leave.clicked.connect(self.close)
        self.answers.answer_chosen.connect(self._choose)
        self.preview.ended.connect(self._unchoose)
        self.keeper.went_on.connect(lambda share: self.going.setValue(round(100 * share)))
        self.keeper.found.connect(self._show_found)
        self.keeper.refused.connect(self._refuse)
        self.keeper.ended.connect(self._show_state)
        session.setup_changed.connect(self._follow)
        session.units_changed.connect(self._show_units)
        session.opened.connect(self._take_other_car)
        self.window_.filing.letting_go.connect(self._keep)
        self.window_.filing.loose_ends.append(self._loose_words)
        self.preview.watch(self.window_.changes.view.viewport())

    def _fill(self) -> None:
        """Fill the rows with what the car's file holds."""
        self._seen = self.session.history.value
        self.asking.fill()
        self._show_state()

    def _keep(self) -> None:
        """Keep the wants and the room that are typed with the car, as one step."""
        self.preview.give_way()
        setup = self.asking.kept()
        if setup != self.session.history.value:
            self._seen = setup
            self.session.commit(setup, "wants and room", _STEP)

    def _loose_words(self) -> str:
        """Say which rows no file can hold yet; empty where all are kept."""
        count = self.asking.loose()
        if not count:
            return ""
        rows = "1 row" if count == 1 else f"{count} rows"
        return f"{TITLE}: {rows} can't be read yet, and no file can hold what stands there."

    # The search

    def _find(self) -> None:
        question = self.asking.question()
        if question is None:
            return
        self._keep()
        self._sought = self.session.history.value
        self._show_tables({})
        self.going.setValue(0)
        self.says.setText(_GOING)
        self.keeper.ask(*question)
        self._show_state()
        self.stop.setFocus()

    def _stop(self) -> None:
        self.keeper.stop()
        self.says.setText(_STOPPED)
        self.seek.setFocus()

    def _refuse(self, words: str) -> None:
        self.says.setText(words)
        self.session.said.emit(words)
        self._show_state()

    def _show_found(self, tables: dict[Units, AnswerTable]) -> None:
        self._show_tables(tables)
        if self.focusWidget() is self.seek:  # else something else is being typed
            self.answers.setFocus()
        self.answers.show_chosen(-1)
        self._say()
        self.session.said.emit(self.says.text())

    def _show_tables(self, tables: dict[Units, AnswerTable]) -> None:
        self.tables = tables
        self.answers.show_table(tables.get(self.session.units))
        self._show_state()

    def _say(self) -> None:
        table = self.answers.table
        if table is None:
            return
        words = [_OLD] if self._is_old() else [_MET if table.is_met else _NEAREST, *table.notes]
        self.says.setText(" ".join(words))

    # The answers

    def _is_old(self) -> bool:
        """Tell whether the car isn't the one that answers are of; wants and room don't count."""
        now, then = self.session.history.value, self._sought
        return then is None or now != then.having(wants=now.wants, rooms=now.rooms)

    def _choose(self, place: int) -> None:
        table = self.answers.table
        change = table.changes[place] if table is not None and place >= 0 else None
        if table is None or change is None or self._is_old():
            self.preview.end()
            self._say()
        else:
            self.preview.show(change, table.heads[place])
            self.says.setText(_SHOWN.format(head=table.heads[place]))
        self._show_state()

    def _unchoose(self) -> None:
        self.answers.show_chosen(-1)
        self._say()
        self._show_state()

    def _take(self) -> None:
        """Make the answer that is shown a change that is on, as one step."""
        table, place = self.answers.table, self.answers.currentColumn() - 1
        change = table.changes[place] if table is not None and place >= 0 else None
        if change is None or self._is_old():
            return
        self.preview.end()
        setup = self.session.history.value
        with_change = setup.having(changes=(*setup.changes, change))
        self.session.commit(with_change, f"take what was found: “{change.name}”")
        self.session.set_active(len(with_change.changes) - 1)
        self.close()

    # What else happens

    def _follow(self) -> None:
        """Follow the car: room that was dragged, steps back, other changes."""
        now, before = self.session.history.value, self._seen
        if self.session.preview_setup is not None or now is before:
            return
        self._seen = now
        self.asking.follow(before, now)
        if not self.preview.is_on:
            self.answers.show_chosen(-1)
            self._say()
        self._show_state()

    def _take_other_car(self) -> None:
        self.keeper.stop()
        self.preview.end()
        self._sought = None
        self._show_tables({})
        self.says.setText(_FIRST)
        self._fill()
        self.close()

    def _show_units(self) -> None:
        self.asking.take_units()
        place = self.answers.currentColumn() - 1
        self.answers.show_table(self.tables.get(self.session.units))
        if self.preview.is_on:
            self.answers.show_chosen(place)

    def _show_state(self) -> None:
        """Offer what can be done now."""
        going, waited = self.keeper.is_going, self.focusWidget() is self.stop
        self.seek.setEnabled(not going)
        if waited and not going:
            self.seek.setFocus()
        self.stop.setVisible(going)
        self.going.setVisible(going)
        self.answers.setVisible(bool(self.tables))
        self.take.setVisible(bool(self.tables))
        self.take.setEnabled(self.preview.is_on)

    def _edits(self, widget: QWidget) -> bool:
        """Tell whether a part of the window edits the car from what is shown."""
        window = self.window_
        shows = [self, window.board, window.strip, window.curves, window.results, window.sentences]
        shows += window.findChildren(QWidget, "head")
        is_inside = widget.window() in (window, self)
        return is_inside and not any(w is widget or w.isAncestorOf(widget) for w in shows)

    def showEvent(self, event: QShowEvent) -> None:
        """Stand at the left of the window, where its lists are, as large as the screen lets it."""
        super().showEvent(event)
        if not event.spontaneous():
            self._show_state()

    def open_beside(self) -> None:
        """Open at the window's lower left, so that most of the drawing is seen; or come up."""
        if self.isHidden():
            room = self.screen().availableSize()
            window = self.window_.geometry()
            sides = zip(SHARE, (window.width(), window.height()), LEAST, MOST, strict=True)
            width, height = (
                min(max(round(share * side), least), most) for share, side, least, most in sides
            )
            self.resize(min(width, room.width() - 20), min(height, room.height() - 60))
            self.move(window.left() + 8, max(window.bottom() - self.height() - 8, 0))
        self.show()
        self.activateWindow()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Leave the car as it was; what was typed is kept with it, or stays for the next time."""
        self._let_go()
        super().closeEvent(event)

    def reject(self) -> None:
        """Close by Escape: a search is stopped first."""
        if self.keeper.is_going:
            self._stop()
            return
        self._let_go()
        super().reject()

    def _let_go(self) -> None:
        if self.keeper.is_going:
            self._stop()
        self._keep()

    def changeEvent(self, event: QEvent) -> None:
        """Keep what was typed when one turns to something else, so that it is part of the car."""
        super().changeEvent(event)
        is_left = event.type() == QEvent.Type.ActivationChange and not self.isActiveWindow()
        if is_left and self.isVisible() and not self.preview.is_on:
            self._keep()


def _line() -> QFrame:
    """Return a hair line between what is asked and what is found."""
    line = QFrame()
    line.setFrameShape(QFrame.Shape.HLine)
    line.setForegroundRole(line.palette().ColorRole.Mid)
    return line
