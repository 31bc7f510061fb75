"""The right-hand side of the guide: the car so far, and what each result still needs."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from app.drawing.views import View
from app.entry.car_drawing import growing
from app.entry.draft_session import DraftSession
from app.entry.needs_rows import in_words
from app.entry.pane import Pane
from app.entry.part import GuidePart
from app.entry.parts import PARTS, given_parts, part_of
from app.entry.pieces import label
from app.paint.palette import PALETTES
from app.qt.spoken import spoken_as
from app.qt.tips import escape


class Progress(QWidget):
    """The drawing so far, and what is still needed."""

    def __init__(self, sitting: DraftSession, paper: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.sitting = sitting
        self._paper = paper
        self._last: GuidePart = PARTS[0]
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 14, 14, 10)
        column.setSpacing(6)
        self.panes = {view: Pane(view.title) for view in View}
        column.addWidget(self.panes[View.FRONT], 5)
        row = QHBoxLayout()
        row.setSpacing(6)
        row.addWidget(self.panes[View.SIDE])
        row.addWidget(self.panes[View.TOP])
        column.addLayout(row, 4)
        column.addWidget(label("What the measurements are enough for", "axis"))
        column.addWidget(self._needs_list(), 5)
        for pane in self.panes.values():
            pane.picked.connect(sitting.go)
            pane.set_palette_name(paper)
        sitting.changed.connect(self.refresh)
        sitting.step_changed.connect(self.refresh)
        self.refresh()

    def _needs_list(self) -> QScrollArea:
        self.needs = label("", wrap=True)
        self.needs.setTextFormat(Qt.TextFormat.RichText)
        self.needs.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.needs.setAccessibleName("What each result still needs")
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setAccessibleName("What each result still needs")
        spoken_as(scroll, QAccessible.Role.Grouping)
        scroll.setWidget(self.needs)
        return scroll

    def set_palette_name(self, paper: str) -> None:
        """Take the inks of a paper."""
        self._paper = paper
        for pane in self.panes.values():
            pane.set_palette_name(paper)
        self.refresh()

    def refresh(self) -> None:
        """Draw what there is, and say what lacks."""
        setup, done = self.sitting.setup, self.sitting.points_done()
        words = f"{done[0]} of {done[1]} points"
        for view, pane in self.panes.items():
            pane.set_step(100.0 if setup.units == "mm" else 101.6)
            drawing = growing(view, setup, self._part(), self.sitting.decimal)
            pane.show_drawing(drawing, self.sitting.step, f"{view.title}, {words}")
        self.needs.setText(self._needs_words())

    def _part(self) -> GuidePart:
        """Return the end of the car that the current step is about, else the last one shown."""
        part = part_of(self.sitting.step)
        given = given_parts(self.sitting.draft) or PARTS
        if part is None:
            part = self._last if self._last in given else given[0]
        self._last = part
        return part

    def _needs_words(self) -> str:
        inks = PALETTES[self._paper]
        lines = []
        for row, missing_keys in self._part().rows(self.sitting.setup):
            title = escape(row.title)
            if missing_keys:
                missing_words = escape(in_words(missing_keys, self.sitting.setup.evidence, most=2))
                words = f"<span style='color:{inks.second}'>needs {missing_words}</span>"
                lines.append(f"{title} — {words}")
            else:
                lines.append(f"<b>✓ {title}</b>")
        return "".join(f"<div style='margin-bottom:3px'>{line}</div>" for line in lines)
