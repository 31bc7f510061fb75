"""A line of words that changes often: it repaints itself and leaves the layout alone.

Setting a label's text makes the whole window lay itself out and repaint, at every step of a drag.
"""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFont, QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.document.plain_text import one_line
from app.qt.border import fenced
from app.qt.tips import tip

MOST: Final = 28  # a line asks for no more room than so many times its height


@fenced
class QuietLine(QWidget):
    """One line, cut short with dots where it doesn't fit; the whole is in its tool-tip."""

    def __init__(
        self,
        font: QFont | None = None,
        role: QPalette.ColorRole = QPalette.ColorRole.WindowText,
        align: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignLeft,
        stretch: int = 1,
        hugs: bool = False,
    ) -> None:
        super().__init__()
        if font is not None:
            self.setFont(font)
        self.setBackgroundRole(QPalette.ColorRole.Base)
        self.setAutoFillBackground(True)  # so what lies under it needn't be painted again
        self._text, self._role, self._align = "", role, align
        self._hugs = hugs  # asks for the room of its words: for what hardly ever changes
        wide = QSizePolicy.Policy.Preferred if hugs else QSizePolicy.Policy.Ignored
        policy = QSizePolicy(wide, QSizePolicy.Policy.Fixed)
        policy.setHorizontalStretch(0 if hugs else stretch)
        self.setSizePolicy(policy)

    def text(self) -> str:
        """Return the words."""
        return self._text

    def show_text(self, text: str) -> None:
        """Show other words; nothing in them acts on the line."""
        text = one_line(text)
        if text != self._text:
            self._text = text
            self.setAccessibleName(text)
            self.setToolTip(tip(text))
            self.update()
            if self._hugs:
                self.updateGeometry()

    def sizeHint(self) -> QSize:
        """Return a height for one line; the width is what the layout gives, or the words'."""
        metrics = self.fontMetrics()
        width = min(metrics.horizontalAdvance(self._text) + 8, MOST * metrics.height())
        return QSize(width if self._hugs else 120, self.fontMetrics().height() + 2)

    def minimumSizeHint(self) -> QSize:
        """Return a height for one line."""
        return QSize(40, self.fontMetrics().height() + 2)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the words as far as they fit."""
        with QPainter(self) as painter:
            painter.setPen(self.palette().color(self._role))
            words = self.fontMetrics().elidedText(
                self._text, Qt.TextElideMode.ElideRight, self.width()
            )
            painter.drawText(self.rect(), self._align | Qt.AlignmentFlag.AlignVCenter, words)
