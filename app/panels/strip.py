"""The pose strip: travel, roll and steer by slider, field or play; and the ride height."""

from __future__ import annotations

from dataclasses import replace
from math import radians
from typing import Final, Literal

from PySide6.QtCore import QSignalBlocker, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QSizePolicy,
    QWidget,
)

from app.document.entries import parse_value
from app.document.quantities import from_inside
from app.document.units import exact_number, number_of, unit_of
from app.panels.entry import EntryField
from app.panels.figures import decimal_sign
from app.panels.lists.signs import SignButton
from app.panels.playing import Player
from app.panels.ride_height import RideHeight
from app.panels.widgets import EDGE, FlatButton, small_label
from app.qt.border import fenced
from app.qt.spoken import FigureSlider
from app.session.session import Session
from app.systems.answers import Pose, Ranges
from app.systems.curves import KINDS

Driver = Literal["travel", "roll", "steer"]

TITLES: Final[dict[Driver, str]] = {"travel": "Travel", "roll": "Roll", "steer": "Steer"}
STEPS: Final[dict[Driver, float]] = {"travel": 0.5, "roll": radians(0.05), "steer": 0.5}
SIGNS: Final[dict[Driver, tuple[str, str]]] = {
    "travel": ("bump", "rebound"),
    "roll": ("leans right", "leans left"),
    "steer": ("left", "right"),
}
PLAYS: Final[dict[Driver, str]] = {"travel": "bump", "roll": "roll", "steer": "steer"}
HEIGHT_SHARE: Final = 5  # the words on the height take a fifth of the strip at most


@fenced
class PoseStrip(QWidget):
    """The three drivers in a row, the switch of the height, and the way back."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.setAccessibleName("Pose")
        self.setBackgroundRole(self.palette().ColorRole.Base)
        self.setAutoFillBackground(True)
        self.player = Player(session)
        line = QHBoxLayout(self)
        line.setContentsMargins(EDGE, 3, EDGE, 3)
        line.setSpacing(10)
        self.drivers: dict[Driver, DriverRow] = {}
        for driver in TITLES:
            self.drivers[driver] = DriverRow(session, driver, self.player)
            line.addWidget(self.drivers[driver], 1)
        self.height_ = RideHeight(session)
        line.addWidget(self.height_)
        self.reset = FlatButton("⟲ Zero", "Back to where it stands, level, straight ahead")
        self.reset.clicked.connect(self._reset)
        line.addWidget(self.reset)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def set_palette_name(self, name: str) -> None:
        """Take the inks "light" or "dark": the strip has none of its own."""

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the sentence on the height the room it needs, where there is enough."""
        super().resizeEvent(event)
        self.height_.give_room(self.width() // HEIGHT_SHARE)

    def _reset(self) -> None:
        self.player.stop()
        self.session.set_pose(Pose())


class DriverRow(QWidget):
    """One driver: its play button, its slider, and its value as a field."""

    def __init__(self, session: Session, driver: Driver, player: Player) -> None:
        super().__init__()
        self.session, self.driver, self.player = session, driver, player
        self.play = SignButton("play", f"Run {PLAYS[driver]}")
        self.play.setProperty("play", driver)
        self.slider = PoseSlider(TITLES[driver])
        self.field = EntryField(self._read)
        self.unit = small_label()
        self._lay_out()
        self.play.clicked.connect(lambda: player.turn(driver))
        player.changed.connect(self._show_playing)
        self.slider.valueChanged.connect(self._slide)
        self.slider.reset_asked.connect(lambda: self._set(0.0))
        self.field.editingFinished.connect(self._enter)
        session.pose_changed.connect(self._follow)
        session.units_changed.connect(self._follow)
        session.study_completed.connect(self._take_range)
        session.system_changed.connect(self._take_range)
        self._state: tuple[float, str, str, str] | None = None  # that is shown
        self._take_range()

    def _lay_out(self) -> None:
        label = QLabel(TITLES[self.driver])
        label.setBuddy(self.field)
        self.field.setAccessibleName(TITLES[self.driver])
        self.field.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.field.setFixedWidth(self.field.fontMetrics().horizontalAdvance("−000.00") + 16)
        words, metrics = [*SIGNS[self.driver], "mm", "relay right"], self.unit.fontMetrics()
        self.unit.setFixedWidth(max(metrics.horizontalAdvance(word) for word in words) + 2)
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(4)
        for part in (label, self.play, self.slider, self.field, self.unit):
            line.addWidget(part)

    def _take_range(self) -> None:
        """Run the slider over what is swept; the rear has no steer."""
        self.setVisible(self.driver in self.session.system.drivers)
        study, step = self.session.study, STEPS[self.driver]
        low, high, _ = getattr(study.ranges if study else Ranges(), self.driver)
        with QSignalBlocker(self.slider):
            self.slider.setRange(round(low / step), round(high / step))
        self._state = None
        self._follow()

    def _follow(self) -> None:
        value = getattr(self.session.pose, self.driver)
        state = value, self.session.units, decimal_sign(), self._steering()
        if state == self._state and self.field.text() == self.field.shown:
            return  # another driver moves
        self._state = state
        with QSignalBlocker(self.slider):
            self.slider.setValue(round(value / STEPS[self.driver]))
        self._show_unit(value)
        if not (self.field.hasFocus() and self.field.is_changed):
            kind, units = KINDS[self.driver], self.session.units
            self.field.show_text(number_of(value, kind, units, decimal=decimal_sign()))
            self.field.setCursorPosition(0)

    def _show_unit(self, value: float) -> None:
        plus, minus = SIGNS[self.driver]
        words = plus if value > 0 else minus if value < 0 else ""
        if words and self.driver == "steer":  # which way the wheels turn is the linkage's affair
            words = f"{self._steering()} {words}"
        kind, units = KINDS[self.driver], self.session.units
        unit = unit_of(kind, units)
        text = f"{unit}\n{words}".strip()
        number = number_of(value, kind, units, decimal=decimal_sign())
        self.slider.per_step = from_inside(STEPS[self.driver], kind, units)
        self.slider.setAccessibleName(f"{TITLES[self.driver]} {number} {unit} {words}".strip())
        if text != self.unit.text():
            self.unit.setText(text)

    def _steering(self) -> str:
        """Return what the steer is measured at."""
        kind = self.session.setup.evidence.get("front.steering.kind", "rack")
        return "rack" if kind == "rack" else "relay"

    def _slide(self, place: int) -> None:
        self._set(place * STEPS[self.driver], moving=self.slider.isSliderDown())

    def _read(self, text: str) -> float:
        return parse_value(text, KINDS[self.driver], self.session.units, decimal=decimal_sign())

    def _enter(self) -> None:
        if not self.field.is_changed:
            return
        words = self.field.fault()
        if words:
            self.field.complain(words)
            self.session.said.emit(words)
            return
        value = self._read(self.field.text())
        inside = self._inside(value)
        if inside != value:
            self._say_end(inside)
        self.field.show_text("")
        self._set(inside)
        self._follow()

    def _inside(self, value: float) -> float:
        study = self.session.study
        low, high, _ = getattr(study.ranges if study else Ranges(), self.driver)
        return float(min(max(value, low), high))

    def _say_end(self, end: float) -> None:
        kind, units = KINDS[self.driver], self.session.units
        number = exact_number(end, kind, units, decimal=decimal_sign())
        title = TITLES[self.driver]
        self.session.said.emit(f"{title} goes no further than {number} {unit_of(kind, units)}.")

    def _set(self, value: float, moving: bool = False) -> None:
        pose = replace(self.session.pose, **{self.driver: value})
        self.session.set_pose(pose, moving=moving)

    def _show_playing(self) -> None:
        playing = self.player.driver == self.driver
        self.play.show_sign("stop" if playing else "play")
        self.play.setAccessibleName(f"{'Stop' if playing else 'Run'} {PLAYS[self.driver]}")


@fenced
class PoseSlider(FigureSlider):
    """A slider with zero marked; a double-click or 0 goes back there."""

    reset_asked = Signal()

    def __init__(self, name: str) -> None:
        super().__init__(name, 1.0)
        self.setMinimumWidth(60)
        self.setPageStep(10)
        self.setToolTip("Double-click: back to zero")

    def mouseDoubleClickEvent(self, event: object) -> None:
        """Go back to zero."""
        self.reset_asked.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go back to zero with 0."""
        if event.key() == Qt.Key.Key_0:
            self.reset_asked.emit()
        else:
            super().keyPressEvent(event)

    def sizeHint(self) -> QSize:
        """Return a short length, so that the words beside it have enough room."""
        return QSize(120, super().sizeHint().height())
