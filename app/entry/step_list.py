"""The list of all steps with their marks, to jump by."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPen, QPixmap, QPolygonF, QShowEvent
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

from app.entry.draft_session import DraftSession, State
from app.paint.palette import PALETTES, Inks
from app.qt.border import fenced

KEY: Final = Qt.ItemDataRole.UserRole
SPOKEN: Final = Qt.ItemDataRole.AccessibleTextRole
WORDS: Final[dict[State, str]] = {
    "empty": "not measured yet",
    "begun": "begun",
    "done": "done",
    "doubt": "has an open question",
    "wrong": "has something that can't be read",
}
SIZE: Final = 14


@fenced
class StepList(QListWidget):
    """All steps; the current one is selected."""

    def __init__(self, sitting: DraftSession, paper: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sitting = sitting
        self._inks = PALETTES[paper]
        self._icons: dict[State, QIcon] = {}
        self.setAccessibleName("All steps")
        self.setIconSize(QSize(SIZE, SIZE))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.fill()
        sitting.steps_changed.connect(self.fill)
        sitting.changed.connect(self.mark)
        sitting.settled.connect(self.mark)
        sitting.step_changed.connect(self.follow)
        self.currentItemChanged.connect(self._chosen)

    def showEvent(self, event: QShowEvent) -> None:
        """Lay the steps out anew: their look is known only now."""
        super().showEvent(event)
        self.scheduleDelayedItemsLayout()

    def set_palette_name(self, paper: str) -> None:
        """Take the inks of a paper."""
        self._inks = PALETTES[paper]
        self._icons = {}
        self.mark()

    def fill(self) -> None:
        """List the steps under the names of their groups."""
        self.blockSignals(True)
        self.clear()
        group = ""
        for step in self._sitting.steps:
            if step.group != group:
                group = step.group
                self._add_head(group)
            item = QListWidgetItem(step.title)
            item.setData(KEY, step.key)
            self.addItem(item)
        self.blockSignals(False)
        self.mark()
        self.follow()

    def _add_head(self, group: str) -> None:
        item = QListWidgetItem(group)
        item.setFlags(Qt.ItemFlag.NoItemFlags)
        font = item.font()
        font.setBold(True)
        font.setPointSizeF(max(7.0, 0.9 * font.pointSizeF()))
        item.setFont(font)
        self.addItem(item)

    def mark(self) -> None:
        """Show how far each step is."""
        for step, item in zip(self._sitting.steps, self._items(), strict=True):
            state = self._sitting.state(step)
            item.setIcon(self._icon(state))
            item.setData(SPOKEN, f"{step.title}, {WORDS[state]}")
            item.setToolTip(WORDS[state])

    def follow(self) -> None:
        """Select the step that is shown."""
        self.blockSignals(True)
        for item in self._items():
            if item.data(KEY) == self._sitting.step:
                self.setCurrentItem(item)
                self.scrollToItem(item)
        self.blockSignals(False)

    def _items(self) -> list[QListWidgetItem]:
        items = [self.item(row) for row in range(self.count())]
        return [item for item in items if item.data(KEY)]

    def _chosen(self, item: QListWidgetItem | None) -> None:
        if item is not None and item.data(KEY):
            self._sitting.go(item.data(KEY))

    def _icon(self, state: State) -> QIcon:
        if state not in self._icons:
            self._icons[state] = mark_icon(state, self._inks, self.devicePixelRatioF())
        return self._icons[state]


def mark_icon(state: State, inks: Inks, ratio: float) -> QIcon:
    """Return the mark of a state: an empty ring, half a one, a tick, a question mark, a cross."""
    pixmap = QPixmap(QSize(SIZE, SIZE) * ratio)
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(QColor(0, 0, 0, 0))
    with QPainter(pixmap) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        _paint_mark(painter, state, inks)
    icon = QIcon()
    for mode in (QIcon.Mode.Normal, QIcon.Mode.Selected):
        icon.addPixmap(pixmap, mode)
    return icon


def _paint_mark(painter: QPainter, state: State, inks: Inks) -> None:
    ring = QRectF(2.5, 2.5, 9, 9)
    if state in ("empty", "begun"):
        painter.setPen(QPen(inks.colour("soft"), 1.25))
        painter.drawEllipse(ring)
        if state == "begun":
            painter.setBrush(inks.colour("soft"))
            painter.drawPie(ring, 90 * 16, 180 * 16)
    elif state == "done":
        painter.setPen(QPen(inks.colour("ink"), 2.0))
        painter.drawPolyline(QPolygonF([QPointF(2.5, 7.5), QPointF(5.8, 11), QPointF(11.5, 3)]))
    else:
        painter.setPen(inks.colour("accent"))
        font = painter.font()
        font.setPixelSize(13)
        font.setBold(True)
        painter.setFont(font)
        sign = "?" if state == "doubt" else "×"
        painter.drawText(QRectF(0, 0, SIZE, SIZE), Qt.AlignmentFlag.AlignCenter, sign)
