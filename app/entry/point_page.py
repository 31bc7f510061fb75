"""The page of one point: where it is, how it is measured, and its fields."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QWidget

from app.document.address import Point, is_right, key_of
from app.document.point_names import point_title
from app.drawing.views import View
from app.entry.axis_row import AxisRow
from app.entry.draft_session import DraftSession
from app.entry.page import Line, Page
from app.entry.pane import Pane
from app.entry.part import GuidePart
from app.entry.parts import part_of
from app.entry.pieces import label, small_button
from app.entry.typed import fields_of
from app.entry.within_line import WIDTH
from app.qt.tips import tip


class PointPage(Page):
    """One point."""

    def __init__(self, sitting: DraftSession, paper: str, parent: QWidget | None = None) -> None:
        super().__init__(sitting, paper, parent)
        step = sitting.current
        self.point = step.key
        self.part = _part(step.key)
        side = " · right side" if is_right(self.point) else ""
        self.add_title(step.title + side, "may be left out" if step.optional else "")
        self._add_picture(paper)
        self._add_words()
        self._add_fields()
        self.body.addLayout(self.questions)
        sitting.changed.connect(self._refresh)
        sitting.settled.connect(self._refresh)
        self.reached.connect(self._show_axis)
        self._refresh()
        self.show_questions()

    def _add_picture(self, paper: str) -> None:
        row = QHBoxLayout()
        row.setSpacing(8)
        title = point_title(self.point, self.sitting.setup.readings)
        self.panes = {
            View.FRONT: Pane("From the front, on an invented car", plain=True),
            View.SIDE: Pane("From the left side; forward is right", plain=True),
        }
        for pane in self.panes.values():
            pane.set_palette_name(paper)
            pane.setMinimumHeight(120)
            pane.setAccessibleDescription(f"Shows {title.lower()} and its dimensions.")
            row.addWidget(pane, 1)
        self.body.addLayout(row, 1)
        self._show_axis("")

    def _show_axis(self, name: str) -> None:
        """Show in the picture what the field that has the keyboard asks for."""
        names = fields_of(self.point)
        axis = names.index(name) if name in names else None
        for view, pane in self.panes.items():
            pane.show_drawing(self.part.picture(view, self.sitting.setup, self.point, axis))

    def _add_words(self) -> None:
        words = self.part.lesson(self.point, self.sitting.setup)
        self.body.addWidget(label(words.where, "axis", wrap=True))
        self.body.addWidget(label(words.how, wrap=True))

    def _add_fields(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(5)
        grid.setColumnStretch(7, 1)
        self.axes = [AxisRow(self, grid, self.point, axis) for axis in range(3)]
        title = point_title(self.point, self.sitting.setup.readings)
        self.within = self.add_line(f"{self.point}.within", f"{title}: measured within ±")
        self.within.setFixedWidth(WIDTH)
        self.note = self.add_line(f"{self.point}.note", f"{title}: note")
        self.note.setPlaceholderText("note, as: bush worn 2 mm, hole oval")
        alike = label("x, y and z alike")
        alike.setBuddy(self.within)
        grid.addWidget(alike, 6, 0, 1, 3, Qt.AlignmentFlag.AlignRight)
        grid.addWidget(label("±", "axis"), 6, 3)
        grid.addWidget(self.within, 6, 4)
        grid.addWidget(self.note, 6, 5, 1, 3)
        self.body.addLayout(grid)
        self._add_same_as(grid)

    def _add_same_as(self, grid: QGridLayout) -> None:
        """Offer the spring's ends for a damper inside the coil."""
        point = Point.at(self.point)
        self.extra: list[QWidget] = []
        self.source = key_of(point.end, point.side, self.part.same_as.get(point.name, ""))
        if self.source in self.sitting.setup.readings:
            button = small_button("Same place as the spring's end")
            button.clicked.connect(self._copy)
            self.extra.append(button)
            grid.addWidget(button, 7, 1, 1, 4)

    def _copy(self) -> None:
        self.sitting.copy_point(self.source, self.point)
        for line in self.lines:
            line.reread()
        self.onward.emit()

    def enter_order(self) -> Sequence[Line]:
        """Return the three coordinates: Enter passes by uncertainty and note, Tab doesn't."""
        return [row.line for row in self.axes]

    def tab_widgets(self) -> list[QWidget]:
        """Return the fields of each axis with where it counts from, then the rest."""
        rows = [widget for row in self.axes for widget in row.widgets()]
        return [*rows, self.within, self.note, *self.extra, *self.answers]

    def _refresh(self) -> None:
        for row in self.axes:
            row.refresh()
        of_all = self.sitting.text("sheet.measured_within").strip()
        self.within.setPlaceholderText(of_all or "unsaid")
        error = self.sitting.error(self.within.name)
        self.within.setToolTip(tip(error or self.part.purposes(self.point)))


def _part(point: str) -> GuidePart:
    """Return the part of the guide that a point belongs to."""
    part = part_of(point)
    if part is None:
        raise ValueError(f"{point} belongs to no part of the guide")
    return part
