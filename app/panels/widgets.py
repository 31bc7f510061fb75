"""The base of all panels: paper with a title, the inks in use, and fonts for figures."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF, QRect, QSize, Qt
from PySide6.QtGui import QFont, QGuiApplication, QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHBoxLayout,
    QLabel,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.paint.palette import PALETTES, Inks
from app.qt.border import fenced
from app.session.session import Session

SECOND: Final = QPalette.ColorRole.PlaceholderText  # the palette's role of the second ink
SMALL: Final = 0.86  # of body text
EDGE: Final = 10  # free paper at the sides [px]
FRAME: Final = QSize(16, 48)  # what a desktop may put around a window [px]


class Panel(QWidget):
    """A piece of paper with a title line that shows a part of a session."""

    def __init__(self, session: Session, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.inks: Inks = PALETTES["light"]
        self.setBackgroundRole(QPalette.ColorRole.Base)
        self.setAutoFillBackground(True)
        self.setAccessibleName(title)
        self.rows = QVBoxLayout(self)
        self.rows.setContentsMargins(0, 6, 0, 4)
        self.rows.setSpacing(4)
        self.head = QHBoxLayout()
        self.head.setContentsMargins(EDGE, 0, EDGE - 4, 0)
        self.head.setSpacing(2)
        self.title = head_label(title)
        self.head.addWidget(self.title, 1)
        self.rows.addLayout(self.head)

    def take_title(self, title: QWidget) -> None:
        """Put another title in the place of the plain one."""
        self.head.replaceWidget(self.title, title)
        self.head.setStretchFactor(title, 1)
        self.title.hide()
        self.title.deleteLater()

    def set_palette_name(self, name: str) -> None:
        """Take the inks "light" or "dark"; ordinary widgets follow the application's palette."""
        if self.inks is not PALETTES[name]:
            self.inks = PALETTES[name]
            self.take_inks()
            self.update()

    def take_inks(self) -> None:
        """Hand the new inks on to what paints with them."""


def head_label(text: str) -> QLabel:
    """Return the bold label of a panel or a section."""
    label = QLabel(text, textFormat=Qt.TextFormat.PlainText)
    label.setFont(text_font(bold=True))
    label.setForegroundRole(SECOND)
    return label


def small_label(text: str = "") -> QLabel:
    """Return a wrapping label of small words in the second ink."""
    label = QLabel(text, textFormat=Qt.TextFormat.PlainText)
    label.setFont(text_font(SMALL))
    label.setForegroundRole(SECOND)
    label.setWordWrap(True)
    return label


def text_font(size: float = 1.0, bold: bool = False) -> QFont:
    """Return the desktop's font at a share of its size, with figures of one width."""
    font = QFont(QGuiApplication.font())
    if font.pointSizeF() > 0:
        font.setPointSizeF(font.pointSizeF() * size)
    else:
        font.setPixelSize(max(1, round(font.pixelSize() * size)))
    font.setBold(bold)
    font.setFeature(QFont.Tag("tnum"), 1)
    return font


def plain_view(view: QAbstractItemView, name: str) -> None:
    """Take frame and stripes off a list or table, and name it for a screen reader."""
    make_viewport(view)
    view.setFrameShape(QFrame.Shape.NoFrame)
    view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    view.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
    view.setAccessibleName(name)
    bar = view.verticalScrollBar()
    bar.rangeChanged.connect(lambda low, high: bar.setEnabled(high > low))


def make_viewport(view: QAbstractItemView) -> None:
    """Give a list the viewport that Qt would, made here.

    Asked for one of Qt's own, PySide loads every kind of widget that there is to find its class.
    """
    viewport = QWidget()
    viewport.setObjectName("qt_scrollarea_viewport")  # by which a style sheet knows it
    viewport.setBackgroundRole(QPalette.ColorRole.Base)
    viewport.setAutoFillBackground(True)
    view.setViewport(viewport)


@fenced
class FlatButton(QToolButton):
    """A small flat button of words, with a ring where the keyboard is."""

    def __init__(self, text: str, tip: str) -> None:
        super().__init__()
        self.setText(text)
        self.setToolTip(tip)
        self.setAccessibleName(tip)
        self.setAutoRaise(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the ring over what the style paints."""
        super().paintEvent(event)
        if self.hasFocus():
            with QPainter(self) as painter:
                painter.setPen(QPen(self.palette().color(QPalette.ColorRole.Accent), 1.5))
                painter.drawRect(self.rect().adjusted(1, 1, -2, -2))


def paint_arrow(painter: QPainter, x: int, y: int, is_open: bool) -> None:
    """Paint the arrow of a part that folds: down where it is open, to the right where it isn't."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(x, y)
    painter.rotate(0 if is_open else -90)
    painter.setBrush(painter.pen().color())
    painter.setPen(Qt.PenStyle.NoPen)
    painter.drawPolygon([QPointF(-4, -2), QPointF(4, -2), QPointF(0, 3)])
    painter.restore()


def paint_ring(painter: QPainter, box: QRect, inks: Inks) -> None:
    """Paint the ring that shows where the keyboard is."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(inks.colour("ink"), 1.5))
    painter.drawRect(box.adjusted(1, 1, -2, -2))
