"""The arrangement of the board's four parts: in a square, or with the side view first."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, Literal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

ACROSS: Final = Qt.Orientation.Horizontal
DOWN: Final = Qt.Orientation.Vertical
Stand = Literal["square", "side first"]
SIZES: Final[dict[Stand, tuple[list[int], list[int], list[int]]]] = {
    "square": ([1000, 730], [1000, 640], [1000, 640]),  # rows; each row's columns
    "side first": ([1000, 620], [1000, 730], [1000, 860]),  # columns; each column's rows
}


class Arrangement(QWidget):
    """Two rows of two parts in a square; two columns of two with the side view first."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.parts: tuple[QWidget, ...] = ()
        self._outer, self._first, self._second = (QSplitter() for _ in range(3))
        self._stand: Stand | None = None
        self._sizes = dict(SIZES)
        self._by_hand: set[Stand] = set()  # in which the user has moved an edge
        for splitter in (self._outer, self._first, self._second):
            splitter.setChildrenCollapsible(False)
        for inner in (self._first, self._second):
            self._outer.addWidget(inner)
        self._first.splitterMoved.connect(lambda: self._follow(self._first, self._second))
        self._second.splitterMoved.connect(lambda: self._follow(self._second, self._first))
        self._outer.splitterMoved.connect(self._keep)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._outer)

    def arrange(self, stand: Stand, first: list[QWidget], second: list[QWidget]) -> None:
        """Put the parts into their places, as large as they were there before."""
        self._stand, self.parts = stand, (*first, *second)
        outer, inner = (DOWN, ACROSS) if stand == "square" else (ACROSS, DOWN)
        self._outer.setOrientation(outer)
        for splitter, widgets in ((self._first, first), (self._second, second)):
            splitter.setOrientation(inner)
            for index, widget in enumerate(widgets):
                splitter.insertWidget(index, widget)
        self.fill_with(None)
        self._set_sizes()

    def kept_sizes(self) -> dict[str, str]:
        """Return the sizes that the user has given the parts, as words for the settings."""
        return {
            stand: ";".join(",".join(map(str, sizes)) for sizes in self._sizes[stand])
            for stand in self._by_hand
        }

    def take_sizes(self, kept: Callable[[str], str]) -> None:
        """Divide the board as the user had it; what can't be read is left as it is."""
        for stand in SIZES:
            rows = [row.split(",") for row in kept(stand).split(";")]
            if [len(row) for row in rows] != [2, 2, 2]:
                continue
            if all(word.isdecimal() and int(word) > 0 for row in rows for word in row):
                outer, first, second = ([int(word) for word in row] for row in rows)
                self._sizes[stand] = outer, first, second
                self._by_hand.add(stand)
        self._set_sizes()

    def _set_sizes(self) -> None:
        if self._stand is not None:
            splitters = (self._outer, self._first, self._second)
            for splitter, sizes in zip(splitters, self._sizes[self._stand], strict=True):
                splitter.setSizes(sizes)

    def _keep(self) -> None:
        """Remember the sizes that the user gives the parts."""
        if self._stand is not None and not self.is_filled():
            self._sizes[self._stand] = self._now()
            self._by_hand.add(self._stand)

    def _now(self) -> tuple[list[int], list[int], list[int]]:
        return self._outer.sizes(), self._first.sizes(), self._second.sizes()

    def fill_with(self, widget: QWidget | None) -> None:
        """Show one part alone, or all four again."""
        for part in self.parts:
            part.setVisible(widget is None or part is widget)
        for inner in (self._first, self._second):
            inner.setVisible(any(not part.isHidden() for part in _widgets(inner)))

    def is_filled(self) -> bool:
        """Tell whether one part is shown alone."""
        return any(part.isHidden() for part in self.parts)

    def _follow(self, moved: QSplitter, other: QSplitter) -> None:
        """Keep the columns of a square in line; rows beside each other are free."""
        if self._stand == "square":
            other.setSizes(moved.sizes())
        self._keep()


def _widgets(splitter: QSplitter) -> list[QWidget]:
    widgets = (splitter.widget(index) for index in range(splitter.count()))
    return [widget for widget in widgets if widget is not None]
