"""Typing a point's place or its move, beside the point."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QLocale, QPoint, Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QGridLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from app.document.entries import parse_value, typed_step
from app.document.model import Vec
from app.document.moves import measured_place
from app.document.point_names import point_title
from app.document.units import number_of
from app.gestures.move_points import together, words_for
from app.panels.proposing import move_by
from app.panels.widgets import head_label
from app.qt.border import fenced
from app.session.session import Session

HINT: Final = (
    "A number is a place; with + or − before it, a move from the place that stands there: “−22”. "
    "Fractions and units are read: “1 1/4”, “3 in”. “=−22” is a place."
)
AXES: Final = (("X", "forward"), ("Y", "left"), ("Z", "up"))


@fenced
class PointEditor(QDialog):
    """Three fields: a plain number is a place, one with + or - before it a move.

    Points that are selected together move together, by the step of the one that is typed.
    """

    def __init__(self, session: Session, key: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session, self.key = session, key
        self.title = point_title(key, session.setup.evidence)
        self.setWindowTitle(self.title)
        self._error = QLabel(textFormat=Qt.TextFormat.PlainText)
        self._error.setWordWrap(True)
        self._error.setStyleSheet("font-weight: bold")
        self._error.hide()
        self.fields = [QLineEdit() for _ in AXES]
        self._place = _place_of(session, key)
        self._was = [self._text(value) for value in self._place]
        self._lay_out()
        self.fields[2].setFocus()
        self.fields[2].selectAll()

    def _lay_out(self) -> None:
        grid = QGridLayout()
        for row, ((axis, words), field) in enumerate(zip(AXES, self.fields, strict=True)):
            label = QLabel(f"&{axis}, {words}")
            label.setBuddy(field)
            field.setText(self._was[row])
            field.setAlignment(Qt.AlignmentFlag.AlignRight)
            field.setAccessibleName(f"{self.title}, {axis}")
            if row in self.session.locks.get(self.key, frozenset()):
                field.setEnabled(False)
                field.setToolTip("Locked. Right-click the point to free it.")
            measured = self._text(measured_place(self.session.setup, self.key)[row])
            grid.addWidget(label, row, 0)
            grid.addWidget(field, row, 1)
            grid.addWidget(QLabel(f"{self.session.units} · measured {measured}"), row, 2)
        several, hint = _several_words(self.session, self.key), QLabel(HINT)
        hint.setWordWrap(True)
        self.several = QLabel(several, textFormat=Qt.TextFormat.PlainText)
        self.several.setWordWrap(True)
        self.several.setVisible(bool(several))
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addWidget(head_label(f"{self.title}, as proposed"))
        layout.addWidget(self.several)
        layout.addLayout(grid)
        for widget in (self._error, hint, buttons):
            layout.addWidget(widget)

    def accept(self) -> None:
        """Put the point where the fields say, or say what can't be read."""
        try:
            move = self._move()
        except ValueError as error:
            self._error.setText(str(error))
            self._error.show()
            return
        move_by(self.session, self.key, move)
        super().accept()

    def _move(self) -> Vec:
        """Return the move that the fields ask for."""
        steps = [self._step(axis) for axis in range(3)]
        return steps[0], steps[1], steps[2]

    def _step(self, axis: int) -> float:
        text = self.fields[axis].text().strip()
        if text == self._was[axis]:
            return 0.0
        decimal = QLocale().decimalPoint()
        plain = text.removeprefix("=")
        number = parse_value(plain, "length", self.session.units, decimal=decimal)
        return typed_step(text, number, self._place[axis])

    def _text(self, value: float) -> str:
        decimal = QLocale().decimalPoint()
        return number_of(value, "length", self.session.units, decimal=decimal)

    def show_at(self, place: QPoint) -> int:
        """Open beside a place on the screen."""
        self.adjustSize()
        self.move(place + QPoint(16, 16))
        return self.exec()


def _several_words(session: Session, key: str) -> str:
    """Say that other points move too, where some are selected with this one."""
    others = [each for each in together(session, key) if each != key]
    if not others:
        return ""
    whole = "Both move" if len(others) == 1 else f"All {len(others) + 1} that are selected move"
    typed = point_title(key, session.setup.evidence)
    more = words_for(tuple(others), session.setup)
    return f"{whole} by the same step: {typed} as typed here, and {more}."


def _place_of(session: Session, key: str) -> Vec:
    if session.problem is None and key in (places := session.places()):
        return places[key]
    return measured_place(session.setup, key)
