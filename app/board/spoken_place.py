"""A point's coordinates for a screen reader: three numbers, since a value is a single one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QObject, QRect
from PySide6.QtGui import (
    QAccessible,
    QAccessibleInterface,
    QAccessibleValueInterface,
    QColor,
    QWindow,
)
from shiboken6 import VoidPtr

from app.document.units import number_of, shown, unit_of
from app.qt.border import fenced

if TYPE_CHECKING:
    from app.board.spoken import SpokenPoint

AXES: Final = ("x ahead", "y left", "z up")  # as the table of points is headed


@fenced
class Coordinate(QAccessibleValueInterface):
    """One coordinate of a point, in the unit that is shown."""

    def __init__(self, point: SpokenPoint, axis: int) -> None:
        super().__init__()
        self._point, self._axis = point, axis

    def currentValue(self) -> float:
        """Return it; 0 of a point that has gone."""
        handle = self._point.handle()
        if handle is None or handle.place is None:
            return 0.0
        return handle.place[self._axis] / shown("length", handle.units).size

    def setCurrentValue(self, value: Any) -> None:
        """Ignore it: points are moved by the view's keys and the table of points."""

    def minimumValue(self) -> float:
        """Return the least; the same as the most, which says that there is none."""
        return 0.0

    def maximumValue(self) -> float:
        """Return the most."""
        return 0.0

    def minimumStepSize(self) -> float:
        """Return that it isn't stepped."""
        return 0.0


@fenced
class SpokenCoordinate(QAccessibleInterface):
    """What a reader finds below a point: "z up, mm" and the number."""

    def __init__(self, point: SpokenPoint, axis: int) -> None:
        super().__init__()
        self._point, self._axis = point, axis
        self._value = Coordinate(point, axis)

    def interface_cast(self, kind: QAccessible.InterfaceType) -> Any:
        """Return the number where a value is asked for; Qt takes no None for what there isn't."""
        if kind == QAccessible.InterfaceType.ValueInterface:
            return self._value
        return VoidPtr(0)

    def isValid(self) -> bool:
        """Tell whether the point is still there."""
        return self._point.handle() is not None

    def text(self, kind: QAccessible.Text) -> str:
        """Return the axis with its unit, and the number as the drawing writes it."""
        handle = self._point.handle()
        if handle is None or handle.place is None:
            return ""
        if kind == QAccessible.Text.Name:
            return f"{AXES[self._axis]}, {unit_of('length', handle.units)}"
        if kind != QAccessible.Text.Value:
            return ""
        return number_of(handle.place[self._axis], "length", handle.units)

    def role(self) -> QAccessible.Role:
        """Return what it is: a number that is read."""
        return QAccessible.Role.SpinBox

    def state(self) -> QAccessible.State:
        """Return that it is for reading."""
        state = QAccessible.State()
        state.readOnly = True
        return state

    def rect(self) -> QRect:
        """Return where the point is on the screen."""
        return self._point.rect()

    def parent(self) -> QAccessibleInterface:
        """Return the point."""
        return self._point

    def object(self) -> QObject:
        """Return nothing: a coordinate is no object of its own."""
        return None  # type: ignore[return-value]

    def childCount(self) -> int:
        """Return none."""
        return 0

    def child(self, index: int) -> QAccessibleInterface:
        """Return none."""
        return None  # type: ignore[return-value]

    def childAt(self, x: int, y: int) -> QAccessibleInterface:
        """Return none."""
        return None  # type: ignore[return-value]

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        """Return none."""
        return -1

    def setText(self, kind: QAccessible.Text, text: str) -> None:
        """Ignore it, as for the number."""

    def window(self) -> QWindow:
        """Return the view's window."""
        return self._point.window()

    def foregroundColor(self) -> QColor:
        """Return the ink."""
        return self._point.foregroundColor()

    def backgroundColor(self) -> QColor:
        """Return the paper."""
        return self._point.backgroundColor()
