"""One axis of a point: what is typed, where it is measured from, and how it is understood."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from PySide6.QtWidgets import QComboBox, QGridLayout, QLineEdit, QSizePolicy, QWidget

from app.document.address import AXES, is_right
from app.document.ends import end_of
from app.document.keys import is_point
from app.document.plausible import place_words
from app.document.point_names import point_title, point_words
from app.document.units import format_value
from app.entry.draft_session import DraftSession
from app.entry.page import Page
from app.entry.pieces import label, named, relook
from app.entry.typed import BASES, fields_of
from app.entry.typed_text import Base
from app.entry.within_fields import ALL, EACH
from app.entry.within_line import WIDTH
from app.qt.spoken import name_list

WORDS: Final = (
    "x, ahead of the axle line; behind it is minus",
    "y, outwards from the centreline",
    "z, up from the floor",
)
OWN_PLANE: Final = "a plane of your own …"
ACROSS: Final = "left to right, half of it"
PLANE: Final = "plane "  # before the name of one that is known already


class AxisRow:
    """The widgets of one axis in a page's grid: two rows, the second only for an own plane."""

    def __init__(self, page: Page, grid: QGridLayout, point: str, axis: int) -> None:
        self.sitting: DraftSession = page.sitting
        self.point, self.axis = point, axis
        self.name = fields_of(point)[axis]
        title = point_title(point, self.sitting.setup.readings)
        self.line = page.add_line(self.name, f"{title}: {WORDS[axis]}")
        self.line.setFixedWidth(118)
        self.unit = label(self.sitting.units)
        self.within = page.add_line(
            f"{point}.{EACH[axis]}", f"{title}: {AXES[axis]} measured within ±"
        )
        self.within.setFixedWidth(WIDTH)
        self.base = named(QComboBox(), "base")
        name_list(self.base, f"{title}: {AXES[axis]} is measured from")
        self.base.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.base.setFixedWidth(196)
        self.words = label("", "readBack", wrap=True)
        axis_label = label(AXES[axis], "axis")
        axis_label.setToolTip(WORDS[axis])
        row = 2 * axis
        for column, widget in enumerate(
            (
                axis_label,
                self.line,
                self.unit,
                label("±"),
                self.within,
                label("from"),
                self.base,
                self.words,
            )
        ):
            grid.addWidget(widget, row, column)
        self._add_plane(grid, row + 1, title)
        self._fill_bases()
        self.base.activated.connect(self._choose_base)
        self.refresh()

    def _add_plane(self, grid: QGridLayout, row: int, title: str) -> None:
        axis = AXES[self.axis]
        spoken = f"{title}: name of the plane that {axis} is measured from"
        self.plane = named(QLineEdit(), "plane", spoken)
        self.plane.setPlaceholderText("its name, as: lower face of the chassis leg")
        self.offset = named(
            QLineEdit(), "offset", f"{title}: where the plane is, from the {BASES[self.axis]}"
        )
        self.offset.setFixedWidth(118)
        self.offset_words = [label("at"), label(self.sitting.units), label("is")]
        for column, words in zip((0, 2, 3), self.offset_words, strict=True):
            grid.addWidget(words, row, column)
        grid.addWidget(self.offset, row, 1)
        grid.addWidget(self.plane, row, 4, 1, 4)
        self.offset.returnPressed.connect(self.plane.setFocus)
        self.plane.returnPressed.connect(self.line.setFocus)
        for line in (self.plane, self.offset):
            line.textEdited.connect(self._type_plane)
            line.editingFinished.connect(self._leave)

    def widgets(self) -> list[QWidget]:
        """Return the widgets of this row in the order of Tab."""
        return [self.line, self.within, self.base, self.offset, self.plane]

    def _fill_bases(self) -> None:
        """Offer the usual zero, every complete point, and an own plane."""
        self.keys = [""]
        self.base.addItem(f"the {BASES[self.axis]}")
        for key in self.sitting.setup.readings:
            same_side = is_right(key) == is_right(self.point)
            if (
                is_point(key)
                and end_of(key) == end_of(self.point)
                and key != self.point
                and same_side
            ):
                self.keys.append(key)
                self.base.addItem(point_words(key, self.sitting.setup.readings))
        if self.axis == 1 and not self.sitting.draft.both_sides and not is_right(self.point):
            self.keys.append(ACROSS)
            self.base.addItem(ACROSS)
        for name in self.sitting.planes(AXES[self.axis]):
            self.keys.append(f"{PLANE}{name}")
            self.base.addItem(name)
        self.keys.append(OWN_PLANE)
        self.base.addItem(OWN_PLANE)

    def _choose_base(self, index: int) -> None:
        key = self.keys[index]
        before = self.sitting.base(self.name)
        if key == OWN_PLANE:
            chosen = Base(plane=before.plane, offset=before.offset, is_plane=True)
        elif key == ACROSS:
            chosen = Base(is_across=True)
        elif key.startswith(PLANE):
            name = key.removeprefix(PLANE)
            chosen = Base(
                plane=name, offset=self.sitting.planes(AXES[self.axis])[name], is_plane=True
            )
        else:
            chosen = replace(before, point=key, is_plane=False, is_across=False)
        self.sitting.set_base(self.name, chosen)
        if key == OWN_PLANE:
            self.offset.setFocus()
        else:
            self._leave()

    def _type_plane(self) -> None:
        base = Base("", self.plane.text(), self.offset.text(), True)
        self.sitting.set_base(self.name, base)

    def _leave(self) -> None:
        self.sitting.leave(self.name)

    def refresh(self) -> None:
        """Show from where the axis is measured, and what the reading means."""
        base = self.sitting.base(self.name)
        key = _key_of(base, self.keys)
        self.base.setCurrentIndex(self.keys.index(key) if key in self.keys else 0)
        self.unit.setText(self.sitting.units)
        own, of_all = (
            self.sitting.text(name).strip()
            for name in (f"{self.point}.{ALL}", "sheet.measured_within")
        )
        self.within.setPlaceholderText(own or of_all)
        for widget in (self.plane, self.offset, *self.offset_words):
            widget.setVisible(base.is_plane)
        for line, text in ((self.plane, base.plane), (self.offset, base.offset)):
            if not line.hasFocus() and line.text() != text:
                line.setText(text)
        self.offset_words[1].setText(self.sitting.units)
        self._read_back()

    def _read_back(self) -> None:
        error = self.sitting.error(self.name) or self.sitting.error(self.within.name)
        self.words.setText(error or self._meaning())
        relook(self.words, "error" if error else "readBack")

    def _meaning(self) -> str:
        """Return the place in words; without a reading, which way counts as plus."""
        coordinate = self.sitting.place(self.point, self.axis)
        if coordinate is None:
            return ("+ ahead, − behind", "+ outwards", "+ up")[self.axis]
        is_inch = self.sitting.units == "in"
        text = format_value(
            abs(coordinate),
            "length",
            self.sitting.units,
            decimal=self.sitting.decimal,
            fractions=is_inch,
        )
        return place_words(coordinate, self.axis, text)


def _key_of(base: Base, keys: Sequence[str]) -> str:
    """Return the entry of the choice that a base is."""
    if base.is_across:
        return ACROSS
    if not base.is_plane:
        return base.point
    known = f"{PLANE}{base.plane}"
    return known if known in keys else OWN_PLANE
