"""Splitters that divide their space at each resize, until the user moves them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter, QWidget

from app.qt.border import fenced

Wanted = Callable[[], int]  # the height at which a part shows all it has [px]

LINE: Final = 14.0  # the height of a line of the desktop's usual font [px]
LEFT: Final = (260.0, 384.0, 1600.0, 0.4)  # least and most width; beyond which width of the
RIGHT: Final = (320.0, 460.0, 1520.0, 0.25)  # window it takes which share [px at the usual font]


@fenced
class Fitted(QSplitter):
    """Divides its space anew at each resize, unless the user has moved the splitter."""

    def __init__(self, way: Qt.Orientation) -> None:
        super().__init__(way)
        self.by_hand = False
        self._shares: list[int] = []
        self.setChildrenCollapsible(False)
        self.splitterMoved.connect(self._keep)

    def _keep(self) -> None:
        self.by_hand = True

    def shares(self) -> list[int]:
        """Return the lengths of the parts for the room there is."""
        raise NotImplementedError

    def refit(self) -> None:
        """Divide the space, unless the user has moved the splitter."""
        shares = self.shares()
        if not self.by_hand and shares != self._shares:
            self._shares = shares
            self.setSizes(shares)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Use the new room."""
        super().resizeEvent(event)
        self._shares = []
        self.refit()


class Columns(Fitted):
    """Two columns of words beside the board; they grow less than the board does."""

    def __init__(self, left: QWidget, middle: QWidget, right: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal)
        for part in (left, middle, right):
            self.addWidget(part)
        self.setStretchFactor(1, 1)

    def shares(self) -> list[int]:
        """Return the widths of left column, board and right column."""
        size = self.fontMetrics().height() / LINE
        left, right = (_grown(self.width() / size, *limits) * size for limits in (LEFT, RIGHT))
        return [round(left), round(self.width() - left - right), round(right)]


class Pair(Fitted):
    """Two parts above each other: each at its preferred height; the lower takes the remainder.

    Where there isn't room for both the lower one has no more than its share.
    """

    def __init__(self, upper: tuple[QWidget, Wanted], lower: tuple[QWidget, Wanted], share: float):
        super().__init__(Qt.Orientation.Vertical)
        self.height_functions, self.share = (upper[1], lower[1]), share
        self.addWidget(upper[0])
        self.addWidget(lower[0])

    def shares(self) -> list[int]:
        """Return the heights of both."""
        room = self.height() - self.handleWidth()
        above, below = (height_of() for height_of in self.height_functions)
        below = max(room - above, min(below, round(self.share * room)))
        return [room - below, below]


def _grown(width: float, least: float, most: float, beyond: float, share: float) -> float:
    return min(max(least, least + share * (width - beyond)), most)
