"""The title of a part that folds: it shows or hides what is under it, and that is remembered."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QSettings, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from app.panels.widgets import SECOND, paint_arrow, text_font
from app.qt.border import fenced

ARROW: Final = 15  # room for the arrow before the words [px]
FOLDED: Final = "folded/{}"  # the setting of a part


@fenced
class FoldTitle(QAbstractButton):
    """A title with an arrow; checked where its part is shown."""

    def __init__(self, text: str, part: str) -> None:
        super().__init__()
        self.part = part
        self.setFont(text_font(bold=True))
        self.setCheckable(True)
        self.setChecked(not QSettings().value(FOLDED.format(part), False, bool))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.show_text(text)
        self.toggled.connect(self._keep)

    def show_text(self, text: str) -> None:
        """Show other words."""
        self.setText(text)
        self.setAccessibleName(f"{text}: show or fold")
        self.setToolTip("Click: show or fold this part")

    def folds(self, body: QWidget) -> None:
        """Show and hide a widget with this title."""
        body.setVisible(self.isChecked())
        self.toggled.connect(body.setVisible)

    @property
    def is_folded(self) -> bool:
        """Tell whether the part is folded away."""
        return not self.isChecked()

    def _keep(self, is_open: bool) -> None:
        QSettings().setValue(FOLDED.format(self.part), not is_open)

    def sizeHint(self) -> QSize:
        """Return the room of arrow and words."""
        metrics = self.fontMetrics()
        return QSize(ARROW + metrics.horizontalAdvance(self.text()) + 4, metrics.height() + 4)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint arrow and words, and a ring where the keyboard is."""
        palette = self.palette()
        with QPainter(self) as painter:
            role = QPalette.ColorRole.WindowText if self.underMouse() else SECOND
            painter.setPen(palette.color(role))
            paint_arrow(painter, 6, self.height() // 2, self.isChecked())
            words = self.rect().adjusted(ARROW, 0, 0, 0)
            text = self.fontMetrics().elidedText(
                self.text(), Qt.TextElideMode.ElideRight, words.width()
            )
            painter.drawText(words, Qt.AlignmentFlag.AlignVCenter, text)
            if self.hasFocus():
                painter.setPen(QPen(palette.color(QPalette.ColorRole.Accent), 1.5))
                painter.drawRect(self.rect().adjusted(1, 1, -2, -2))
