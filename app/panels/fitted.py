"""Splitters that divide their space at each resize, until the user moves them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QByteArray, QEvent, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter, QWidget

from app.qt.border import fenced

Wanted = Callable[[], int]  # the height at which a part shows all it has [px]

LINE: Final = 14.0  # the height of a line of the desktop's usual font [px]
LEFT: Final = (260.0, 384.0, 1600.0, 0.4)  # least and most width; beyond which width of the
RIGHT: Final = (320.0, 460.0, 1520.0, 0.25)  # window it takes which share [px at the usual font]


@fenced
class Fitted(QSplitter):
    """Divides its space anew at each resize, unless the user has moved the splitter.

    While the pointer is over it nothing moves under it: what has grown gets its room afterwards.
    """

    def __init__(self, way: Qt.Orientation) -> None:
        super().__init__(way)
        self.by_hand = False
        self._shares: list[int] = []
        self.setChildrenCollapsible(False)
        self.splitterMoved.connect(self._keep)

    def _keep(self) -> None:
        self.by_hand = True

    def kept_state(self) -> QByteArray:
        """Return how the user has divided the space; empty where that was left to the program."""
        return self.saveState() if self.by_hand else QByteArray()

    def take_state(self, state: object) -> None:
        """Divide the space as the user had it."""
        if isinstance(state, QByteArray) and state:
            self.by_hand = self.restoreState(state)

    def shares(self) -> list[int]:
        """Return the lengths of the parts for the room there is."""
        raise NotImplementedError

    def refit(self) -> None:
        """Divide the space, unless the user has moved the splitter or the pointer is over it."""
        if not (self.by_hand or self.underMouse()):
            self._divide()

    def _divide(self) -> None:
        shares = self.shares()
        if shares != self._shares:
            self._shares = shares
            self.setSizes(shares)

    def leaveEvent(self, event: QEvent) -> None:
        """Divide the space as it should be by now."""
        super().leaveEvent(event)
        if not self.by_hand:
            self._divide()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Use the new room."""
        super().resizeEvent(event)
        self._shares = []
        if not self.by_hand:
            self._divide()


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

    Where there isn't room for both the lower one has no more than its share. A folded part has
    the height of its title, whatever the user has divided.
    """

    def __init__(self, upper: tuple[QWidget, Wanted], lower: tuple[QWidget, Wanted], share: float):
        super().__init__(Qt.Orientation.Vertical)
        self.height_functions, self.share = (upper[1], lower[1]), share
        self.folded = (False, False)
        self._unfolded = QByteArray()  # what the user had divided before a part was folded
        self.addWidget(upper[0])
        self.addWidget(lower[0])

    def fold(self, upper: bool, lower: bool) -> None:
        """Give folded parts the height of their titles, or all their room again."""
        if self.by_hand and (upper or lower):
            self._unfolded, self.by_hand = self.saveState(), False
        self.folded = (upper, lower)
        self.handle(1).setEnabled(not (upper or lower))
        if self._unfolded and not (upper or lower):
            self.take_state(self._unfolded)
            self._unfolded = QByteArray()
        elif not self.by_hand:
            self._shares = []
            self._divide()

    def kept_state(self) -> QByteArray:
        """Return how the user has divided the space while both parts are shown."""
        return self._unfolded if any(self.folded) else super().kept_state()

    def take_state(self, state: object) -> None:
        """Divide the space as the user had it; with a part folded, once it isn't any more."""
        if any(self.folded) and isinstance(state, QByteArray):
            self._unfolded = state
        else:
            super().take_state(state)

    def shares(self) -> list[int]:
        """Return the heights of both."""
        room = self.height() - self.handleWidth()
        above, below = (height_of() for height_of in self.height_functions)
        if self.folded[0]:
            return [above, max(room - above, 0)]
        if self.folded[1]:
            return [max(room - below, 0), below]
        below = max(room - above, min(below, round(self.share * room)))
        return [room - below, below]


def _grown(width: float, least: float, most: float, beyond: float, share: float) -> float:
    return min(max(least, least + share * (width - beyond)), most)
