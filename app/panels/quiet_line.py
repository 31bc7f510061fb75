"""A line of words that changes often: it repaints itself and leaves the layout alone.

Setting a label's text makes the whole window lay itself out and repaint, at every step of a drag.
"""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFont, QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QSizePolicy, QWidget


class QuietLine(QWidget):
    """One line, cut short with dots where it doesn't fit; the whole is in its tool-tip."""

    def __init__(
        self,
        font: QFont | None = None,
        role: QPalette.ColorRole = QPalette.ColorRole.WindowText,
        align: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignLeft,
        stretch: int = 1,
    ) -> None:
        super().__init__()
        if font is not None:
            self.setFont(font)
        self._text, self._role, self._align = "", role, align
        policy = QSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        policy.setHorizontalStretch(stretch)
        self.setSizePolicy(policy)

    def text(self) -> str:
        """Return the words."""
        return self._text

    def show_text(self, text: str) -> None:
        """Show other words."""
        if text != self._text:
            self._text = text
            self.setAccessibleName(text)
            self.setToolTip(text)
            self.update()

    def sizeHint(self) -> QSize:
        """Return a height for one line; the width is what the layout gives."""
        return QSize(120, self.fontMetrics().height() + 2)

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
