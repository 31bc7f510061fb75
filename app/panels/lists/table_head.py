"""The head of a table on paper: small words over a hair line, no bevels."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QPainter, QPalette, QPen
from PySide6.QtWidgets import QHeaderView, QTableView

from app.panels.widgets import SECOND, SMALL, text_font
from app.qt.border import fenced


@fenced
class TableHead(QHeaderView):
    """Column heads in the second ink."""

    def __init__(self, table: QTableView) -> None:
        super().__init__(Qt.Orientation.Horizontal, table)
        self.small = text_font(SMALL)
        self.setMinimumSectionSize(16)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setHighlightSections(False)
        self.setSectionsClickable(False)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setFixedHeight(self.fontMetrics().height() + 4)

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        """Paint one head: the first at the left, the others over their figures' right edge."""
        palette = self.palette()
        painter.fillRect(rect, palette.color(QPalette.ColorRole.Base))
        painter.setPen(QPen(palette.color(QPalette.ColorRole.Mid), 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        words = self.model().headerData(section, Qt.Orientation.Horizontal)
        painter.setFont(self.small)
        painter.setPen(palette.color(SECOND))
        side = Qt.AlignmentFlag.AlignLeft if section == 0 else Qt.AlignmentFlag.AlignRight
        inner = rect.adjusted(10 if section == 0 else 0, 0, -5, 0)
        painter.drawText(inner, int(side | Qt.AlignmentFlag.AlignVCenter), str(words or ""))
