"""What is asked of a search: wants, room and steps, typed row by row; nothing typed is lost.

The rows that a car's file holds come one a turn of the window's loop, so that the window stands
there at once; whatever reads them has the rest first.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Final

from PySide6.QtCore import QLocale, Qt, QTimer
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.desk.finding.rooms import RoomRows
from app.desk.finding.wants import NO_WANT, WantRows
from app.document.entries import EntryError
from app.document.model import Setup, Units
from app.document.plan_edits import kept_plans
from app.judge.asked import Hand, Wrong, is_empty, read_wants, typed_rooms, typed_wants
from app.panels.widgets import head_label, small_label
from app.session.session import Session

EXACT: Final = "as exact as it comes"
STEPS: Final[dict[Units, tuple[str, ...]]] = {
    "mm": (EXACT, "0.5 mm", "1 mm", "2 mm"),
    "in": (EXACT, "1/32 in", "1/16 in", "1/8 in"),
}
_NO_ROOM: Final = "Nothing may move yet: give a point or a value room, as far as the metal lets it."


class Asking(QWidget):
    """The rows, the steps, and words on what is wrong with them."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.hand = self._hand()
        self.wants, self.rooms = WantRows(session, self.hand), RoomRows(session, self.hand)
        self.add_want, self.add_room = QPushButton("Add a &want"), QPushButton("Add &room")
        self.step = QComboBox(editable=True)
        typed = QLineEdit()
        self.step.setLineEdit(typed)
        for spoken in (self.step, typed):
            spoken.setAccessibleName("In steps of")
        self.step.setMinimumContentsLength(18)
        self.wrong = small_label()
        self.wrong.setForegroundRole(self.palette().ColorRole.BrightText)
        self.wrong.hide()
        self._fitting = QTimer(self, singleShot=True, interval=0)
        self._fitting.timeout.connect(self._fit)
        self._coming: list[Callable[[], object]] = []  # rows that aren't there yet
        self._filling = QTimer(self, singleShot=True, interval=0)
        self._filling.timeout.connect(self._fill_on)
        self._lay_out()
        self.add_want.clicked.connect(
            lambda: self.then(lambda: self.begin(self.wants.add().result))
        )
        self.add_room.clicked.connect(lambda: self.then(lambda: self.begin(self.rooms.add().key)))
        self.wants.changed.connect(lambda: self._forget_wrong(self.wants))
        self.rooms.changed.connect(lambda: self._forget_wrong(self.rooms))

    def _lay_out(self) -> None:
        self._asked, self._area = QWidget(), QScrollArea(widgetResizable=True)
        rows = QVBoxLayout(self._asked)
        rows.setContentsMargins(0, 0, 6, 0)
        rows.setSizeConstraint(QVBoxLayout.SizeConstraint.SetMinAndMaxSize)
        for title, part, button in (
            ("What is wanted", self.wants, self.add_want),
            ("What may move, and how far", self.rooms, self.add_room),
        ):
            button.setAutoDefault(False)
            rows.addWidget(head_label(title))
            rows.addWidget(part)
            line = QHBoxLayout()
            line.addWidget(button)
            line.addStretch()
            rows.addLayout(line)
        rows.addStretch()
        self._area.setFrameShape(QScrollArea.Shape.NoFrame)
        self._area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._area.setWidget(self._asked)
        self.line = QHBoxLayout()
        label = QLabel("In &steps of")
        label.setBuddy(self.step)
        self.line.addWidget(label)
        self.line.addWidget(self.step)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSizeConstraint(QVBoxLayout.SizeConstraint.SetMaximumSize)
        layout.addWidget(self._area, 1)
        layout.addLayout(self.line)
        layout.addWidget(self.wrong)

    def _fit(self) -> None:
        """Take no more height than the rows need."""
        self._area.setMaximumHeight(self._asked.minimumSizeHint().height() + 2)

    def _hand(self) -> Hand:
        return Hand(self.session.units, QLocale().decimalPoint())

    # What stands there

    def fill(self) -> None:
        """Fill the rows with what the car's file holds."""
        setup = self.session.history.value
        hand = self.hand = self.wants.hand = self.rooms.hand = self._hand()
        wants, rooms = typed_wants(setup, hand), typed_rooms(setup, hand)
        self.wants.show_wants([])
        self.rooms.show_rooms([])
        self.wants.nothing.setVisible(not wants)  # what is on its way is not nothing
        self.rooms.nothing.setVisible(not rooms)
        self._coming = [
            *(partial(self.wants.add, row) for row in wants),
            *(partial(self.rooms.add, row) for row in rooms),
        ]
        self._filling.start()
        self._offer_steps()

    def then(self, work: Callable[[], object]) -> None:
        """Do something when all rows are there."""
        self._coming.append(work)
        if len(self._coming) == 1:
            self.finish()

    def finish(self) -> None:
        """Have all rows now."""
        while self._coming:
            self._coming.pop(0)()

    def _fill_on(self) -> None:
        """Have the next row, and the others in turns of the loop after this one."""
        if self._coming:
            self._coming.pop(0)()
        if self._coming:
            self._filling.start()

    def follow(self, before: Setup, now: Setup) -> None:
        """Take over wants and room that were changed elsewhere; other rows stay as typed.

        So do rows that can't be read yet: they stand nowhere else.
        """
        self.finish()
        for key in {*now.rooms, *before.rooms}:
            if now.rooms.get(key) != before.rooms.get(key):
                self.rooms.take_over(key)
        if now.wants != before.wants:
            rows, loose = self.wants.typed(), {wrong.row for wrong in self._unread_wants()}
            loose_rows = [row for number, row in enumerate(rows) if number in loose]
            self.wants.show_wants([*typed_wants(now, self.hand), *loose_rows])

    def take_units(self) -> None:
        """Show the same in the units that are shown now."""
        self.finish()
        self.hand = self._hand()
        self.wants.take_hand(self.hand)
        self.rooms.take_hand(self.hand)
        self._offer_steps()

    def begin(self, field: QWidget) -> None:
        """Take the keyboard to a field of a new row, and the row into view."""
        field.setFocus()
        self._asked.adjustSize()
        self._area.ensureWidgetVisible(field)

    def _offer_steps(self) -> None:
        """Offer the steps of a shop in these units; what was typed otherwise stays."""
        typed, decimal = self.step.currentText(), self.hand.decimal
        offered = {
            units: [text.replace(".", decimal) for text in texts] for units, texts in STEPS.items()
        }
        self.step.clear()
        self.step.addItems(offered[self.session.units])
        if typed and not any(typed in texts for texts in offered.values()):
            self.step.setEditText(typed)
        else:
            self.step.setCurrentIndex(1)

    # What is read

    def read(self) -> Setup | None:
        """Return the car with what is typed as its wants and room; None where a row can't be."""
        self.finish()
        wants, wrong_wants = self.wants.read()
        rooms, wrong_rooms = self.rooms.read()
        self.wrong.hide()
        wrong = self.rooms.show_wrong(wrong_rooms), self.wants.show_wrong(wrong_wants)
        self._fitting.start()
        if any(wrong):
            return None
        return self.session.history.value.having(wants=wants, rooms=rooms)

    def kept(self) -> Setup:
        """Return the car with all rows that can be read; the others stand here alone."""
        wants, _ = read_wants(self.wants.typed(), self.hand)
        rooms, _ = self.rooms.read()
        return kept_plans(self.session.history.value.having(wants=wants, rooms=rooms))

    def loose(self) -> int:
        """Return how many rows no file can hold yet."""
        _, wrong = self.rooms.read()
        rooms, wants = self.rooms.typed(), self.wants.typed()
        return len({w.row for w in wrong if not is_empty(rooms[w.row])}) + len(
            {w.row for w in self._unread_wants() if not is_empty(wants[w.row])}
        )

    def _unread_wants(self) -> list[Wrong]:
        return read_wants(self.wants.typed(), self.hand)[1]

    def question(self) -> tuple[Setup, float | None] | None:
        """Return the car with wants and room, and the step [mm]; None where it is said why not."""
        setup = self.read()
        if setup is None:
            return None
        try:
            step = self._step()
        except EntryError as error:
            self._complain(f"In steps of: {error}", self.step)
        else:
            if setup.wants and setup.rooms:
                return setup, step
            if setup.wants:
                self._complain(_NO_ROOM, self.add_room)
            else:
                self._complain(NO_WANT, self.add_want)
        return None

    def _step(self) -> float | None:
        typed = self.step.currentText().strip()
        if typed in (EXACT, ""):
            return None
        step = self.hand.read(typed, "length")
        if step <= 0.0:
            raise EntryError("A step is more than nothing.")
        return step

    def _complain(self, words: str, field: QWidget) -> None:
        self.wrong.setText(words)
        self.wrong.show()
        field.setFocus()

    def _forget_wrong(self, rows: WantRows | RoomRows) -> None:
        self.wrong.hide()
        self._fitting.start()
        rows.show_wrong([])
