"""Find where this must be: what is wanted, what may move, and the changes that bring it about."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QLocale, Qt, QTimer
from PySide6.QtGui import QCloseEvent, QShowEvent
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QFrame,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.desk.finding.answers import AnswersView
from app.desk.finding.previewing import Preview
from app.desk.finding.rooms import RoomRows
from app.desk.finding.wants import WantRows
from app.document.entries import EntryError
from app.document.model import Setup, Units
from app.judge.asked import Hand, typed_rooms, typed_wants
from app.panels.widgets import head_label, small_label
from app.qt.border import fenced
from app.session.find_keeper import FindKeeper

if TYPE_CHECKING:
    from app.desk.window import Window
    from app.judge.told_answers import AnswerTable

TITLE: Final = "Find where this must be"
EXACT: Final = "as exact as it comes"
STEPS: Final[dict[Units, tuple[str, ...]]] = {
    "mm": (EXACT, "0.5 mm", "1 mm", "2 mm"),
    "in": (EXACT, "1/32 in", "1/16 in", "1/8 in"),
}
_NO_WANT: Final = "Nothing is wanted yet: add a result, and say what it shall be."
_NO_ROOM: Final = "Nothing may move yet: give a point or a value room, as far as the metal lets it."
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
_KEPT: Final = "Wants and room are kept with the car: they go into its file when that is saved."
_OLD: Final = "The car has been changed since. Find again."
_SHOWN: Final = "{head} is shown on the drawing; it isn't taken yet."
WIDTH: Final = 900
LEAST_HEIGHT: Final = 640


@fenced
class FindWindow(QDialog):
    """Stands beside the window, which stays in use; it keeps what was typed when it is closed."""

    def __init__(self, window: Window, keeper: FindKeeper | None = None) -> None:
        super().__init__(window)
        self.window_, self.session = window, window.session
        self.keeper = keeper or FindKeeper(self)
        self.preview = Preview(self.session, window, self._edits)
        hand = self._hand()
        self.wants, self.rooms = WantRows(self.session, hand), RoomRows(self.session, hand)
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
        self.add_want, self.add_room = QPushButton("Add a &want"), QPushButton("Add &room")
        self.step = QComboBox(editable=True)
        self.step.setAccessibleName("In steps of")
        self.step.setMinimumContentsLength(18)
        self.keep = QPushButton("&Keep wants and room with the car")
        self.seek, self.stop = QPushButton("&Find"), QPushButton("&Stop")
        self.take, self.leave = QPushButton("&Take it"), QPushButton("Close")
        self.going = QProgressBar()
        self.going.setRange(0, 100)
        self.going.setTextVisible(False)
        self.going.setAccessibleName("How far the search is")
        self.wrong = small_label()
        self.wrong.setForegroundRole(self.palette().ColorRole.BrightText)
        for button in (self.add_want, self.add_room, self.keep, self.stop, self.take, self.leave):
            button.setAutoDefault(False)
        self.seek.setDefault(True)

    def _lay_out(self) -> None:
        asked = QWidget()
        rows = QVBoxLayout(asked)
        rows.setContentsMargins(0, 0, 6, 0)
        rows.setSizeConstraint(QVBoxLayout.SizeConstraint.SetMinAndMaxSize)
        for title, part, button in (
            ("What is wanted", self.wants, self.add_want),
            ("What may move, and how far", self.rooms, self.add_room),
        ):
            rows.addWidget(head_label(title))
            rows.addWidget(part)
            line = QHBoxLayout()
            line.addWidget(button)
            line.addStretch()
            rows.addLayout(line)
        rows.addStretch()
        area = QScrollArea(widgetResizable=True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setWidget(asked)
        layout = QVBoxLayout(self)
        layout.addWidget(area, 2)
        layout.addLayout(self._asking())
        layout.addWidget(self.wrong)
        layout.addWidget(_line())
        layout.addWidget(self.says)
        layout.addWidget(self.going)
        layout.addWidget(self.answers, 3)
        layout.addStretch(0)
        layout.addLayout(self._ending())
        self.area, self.asked = area, asked
        self._fitting = QTimer(self, singleShot=True, interval=0)
        self._fitting.timeout.connect(self._fit_rows)

    def _fit_rows(self) -> None:
        """Give the rows no more height than they need."""
        self.area.setMaximumHeight(self.asked.minimumSizeHint().height() + 2)

    def _asking(self) -> QHBoxLayout:
        line = QHBoxLayout()
        label = QLabel("In &steps of")
        label.setBuddy(self.step)
        for widget in (label, self.step, self.keep):
            line.addWidget(widget)
        line.addStretch()
        line.addWidget(self.stop)
        line.addWidget(self.seek)
        return line

    def _ending(self) -> QHBoxLayout:
        line = QHBoxLayout()
        line.addStretch()
        line.addWidget(self.leave)
        line.addWidget(self.take)
        return line

    def _connect(self) -> None:
        session = self.session
        self.add_want.clicked.connect(lambda: self.begin(self.wants.add().result))
        self.add_room.clicked.connect(lambda: self.begin(self.rooms.add().key))
        self.keep.clicked.connect(self._keep)
        self.seek.clicked.connect(self._find)
        self.stop.clicked.connect(self._stop)
        self.take.clicked.connect(self._take)
        self.leave.clicked.connect(self.close)
        self.wants.changed.connect(self._forget_wrong)
        self.rooms.changed.connect(self._forget_wrong)
        self.answers.answer_chosen.connect(self._choose)
        self.preview.ended.connect(self._unchoose)
        self.keeper.went_on.connect(lambda share: self.going.setValue(round(100 * share)))
        self.keeper.found.connect(self._show_found)
        self.keeper.refused.connect(self._refuse)
        self.keeper.ended.connect(self._show_state)
        session.setup_changed.connect(self._follow)
        session.units_changed.connect(self._show_units)
        session.opened.connect(self._take_other_car)
        self.window_.filing.letting_go.connect(self.preview.give_way)
        self.preview.watch(self.window_.changes.view.viewport())

    # What is asked

    def _hand(self) -> Hand:
        return Hand(self.session.units, QLocale().decimalPoint())

    def _fill(self) -> None:
        """Fill the rows with what the car's file holds."""
        setup, hand = self.session.history.value, self._hand()
        self._seen = setup
        self.wants.show_wants(typed_wants(setup, hand))
        self.rooms.show_rooms(typed_rooms(setup, hand))
        self._offer_steps()
        self._show_state()

    def _offer_steps(self) -> None:
        units, typed = self.session.units, self.step.currentText()
        others = [text for each in STEPS.values() for text in each]
        self.step.clear()
        self.step.addItems([text.replace(".", self._hand().decimal) for text in STEPS[units]])
        if typed and typed not in others:
            self.step.setEditText(typed)
        else:
            self.step.setCurrentIndex(1)

    def begin(self, field: QWidget) -> None:
        """Take the keyboard to a field of a new row, and the row into view."""
        field.setFocus()
        self.asked.adjustSize()
        self.area.ensureWidgetVisible(field)

    def _read(self) -> Setup | None:
        """Return the car with what is typed as its wants and room; None where a row can't be."""
        wants, wrong_wants = self.wants.read()
        rooms, wrong_rooms = self.rooms.read()
        self.wrong.hide()
        wrong = self.rooms.show_wrong(wrong_rooms), self.wants.show_wrong(wrong_wants)
        self._fitting.start()
        if any(wrong):
            return None
        setup, hand = self.session.history.value, self.wants.hand
        if self.wants.typed() == typed_wants(setup, hand):
            wants = setup.wants  # to the last digit of the file
        if self.rooms.typed() == typed_rooms(setup, hand):
            rooms = setup.rooms
        return setup.having(wants=wants, rooms=rooms)

    def _forget_wrong(self) -> None:
        self.wrong.hide()
        self._fitting.start()
        sender = self.sender()
        if isinstance(sender, WantRows | RoomRows):
            sender.show_wrong([])

    def _complain(self, words: str) -> None:
        self.wrong.setText(words)
        self.wrong.show()

    def _keep(self) -> None:
        """Keep wants and room with the car, as one step."""
        setup = self._read()
        if setup is not None and setup != self.session.history.value:
            self.preview.give_way()
            self._seen = setup
            self.session.commit(setup, "wants and room")
        if setup is not None and not self.tables:
            self.says.setText(_KEPT)
        self._show_state()

    def _step(self) -> float | None:
        typed = self.step.currentText().strip()
        if typed in (EXACT, ""):
            return None
        step = self._hand().read(typed, "length")
        if step <= 0.0:
            raise EntryError("A step is more than nothing.")
        return step

    # The search

    def _find(self) -> None:
        setup = self._read()
        if setup is None:
            return
        try:
            step = self._step()
        except EntryError as error:
            self._complain(f"In steps of: {error}")
            self.step.setFocus()
            return
        if not setup.wants or not setup.rooms:
            self._complain(_ROOM_OR_WANT[bool(setup.wants)])
            (self.add_room if setup.wants else self.add_want).setFocus()
            return
        self.preview.give_way()
        self._sought = self.session.history.value
        self._show_tables({})
        self.going.setValue(0)
        self.says.setText(_GOING)
        self.keeper.ask(setup, step)
        self._show_state()
        self.stop.setFocus()

    def _stop(self) -> None:
        self.keeper.stop()
        self.says.setText(_STOPPED)
        self.seek.setFocus()

    def _refuse(self, words: str) -> None:
        self.says.setText(words)
        self._show_state()

    def _show_found(self, tables: dict[Units, AnswerTable]) -> None:
        self._show_tables(tables)
        if self.focusWidget() is self.seek:  # else something else is being typed
            self.answers.setFocus()
        self.answers.show_chosen(-1)
        self._say()

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
            self.preview.show(change)
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
        taken = setup.having(changes=(*setup.changes, change))
        self.session.commit(taken, f"take what was found: “{change.name}”")
        self.session.set_active(len(taken.changes) - 1)
        self.close()

    # What else happens

    def _follow(self) -> None:
        """Follow the car: room that was dragged, steps back, other changes."""
        now, before = self.session.history.value, self._seen
        if self.session.preview_setup is not None or now is before:
            return
        self._seen = now
        for key in {*now.rooms, *before.rooms}:
            if now.rooms.get(key) != before.rooms.get(key):
                self.rooms.take_over(key)
        if now.wants != before.wants:
            self.wants.show_wants(typed_wants(now, self._hand()))
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
        hand = self._hand()
        self.wants.take_hand(hand)
        self.rooms.take_hand(hand)
        self._offer_steps()
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
            height = max(round(0.8 * window.height()), LEAST_HEIGHT)
            self.resize(min(WIDTH, room.width() - 20), min(height, room.height() - 60))
            self.move(window.left() + 8, max(window.bottom() - self.height() - 8, 0))
        self.show()
        self.activateWindow()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Leave everything as it was; what was typed stays for the next time."""
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
        self.keeper.stop()
        self.preview.give_way()


_ROOM_OR_WANT: Final = {True: _NO_ROOM, False: _NO_WANT}


def _line() -> QFrame:
    """Return a hair line between what is asked and what is found."""
    line = QFrame()
    line.setFrameShape(QFrame.Shape.HLine)
    line.setForegroundRole(line.palette().ColorRole.Mid)
    return line
