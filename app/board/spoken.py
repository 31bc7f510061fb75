"""What a screen reader finds on a view: a canvas with one child for each point."""

from __future__ import annotations

from functools import cache, partial

from PySide6.QtCore import QObject, QPoint, QPointF, QRect, QSize
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QAccessibleInterface,
    QColor,
    QWindow,
)
from PySide6.QtWidgets import QAccessibleWidget, QWidget

from app.board.canvas import Canvas
from app.board.hit_test import Item
from app.board.spoken_place import AXES, SpokenCoordinate
from app.drawing.strokes import Handle
from app.qt.border import fenced

CHILD_SIZE = QSize(20, 20)
STANDS = "where it stands, as built"


@fenced
class SpokenView(QAccessibleWidget):
    """A view, as a canvas whose children are its points."""

    def __init__(self, view: Canvas) -> None:
        super().__init__(view, QAccessible.Role.Canvas)  # named as the view is titled
        self.view = view
        self._children: dict[int, SpokenPoint] = {}

    def childCount(self) -> int:
        """Return how many points there are."""
        return len(self.view.aim.items)

    def child(self, index: int) -> QAccessibleInterface:
        """Return a point; the objects are kept, since Qt holds them only loosely."""
        return self._children.setdefault(index, SpokenPoint(self, index))

    def childAt(self, x: int, y: int) -> QAccessibleInterface:
        """Return the point at a place on the screen, or the view itself."""
        at = self.view.mapFromGlobal(QPointF(x, y))
        key = self.view.aim.at(self.view.frame, at.x(), at.y())
        return self.child(self.view.aim.keys().index(key)) if key else self

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        """Return the number of a point, or -1."""
        return child.index if isinstance(child, SpokenPoint) else -1

    def focusChild(self) -> QAccessibleInterface:
        """Return the point that the keyboard moves."""
        keys, focused = self.view.aim.keys(), self.view.attention.focused
        return self.child(keys.index(focused)) if focused in keys else self


@fenced
class SpokenPoint(QAccessibleInterface):
    """A point of a view; its name carries its coordinates, its children have each as a number."""

    def __init__(self, spoken_view: SpokenView, index: int) -> None:
        super().__init__()
        self._view = spoken_view
        self.index = index
        self._axes: dict[int, SpokenCoordinate] = {}

    def _item(self) -> Item | None:
        items = self._view.view.aim.items
        return items[self.index] if self.index < len(items) else None

    def isValid(self) -> bool:
        """Tell whether the point is still there."""
        return self._item() is not None

    def text(self, kind: QAccessible.Text) -> str:
        """Return the name with the coordinates, and of which car they are."""
        item = self._item()
        if item is None:
            return ""
        if kind == QAccessible.Text.Name:
            return f"{item.name}, {item.value}" if item.value else item.name
        told = kind == QAccessible.Text.Description and isinstance(item, Handle)
        return STANDS if told else ""

    def handle(self) -> Handle | None:
        """Return the point, if it is still there and its place is known."""
        item = self._item()
        return item if isinstance(item, Handle) and item.place is not None else None

    def role(self) -> QAccessible.Role:
        """Return what it is: a sign on the drawing; readers don't know an indicator."""
        return QAccessible.Role.Graphic

    def rect(self) -> QRect:
        """Return where it is on the screen."""
        item, view = self._item(), self._view.view
        if item is None:
            return QRect()
        box = QRect(QPoint(), CHILD_SIZE)
        box.moveCenter(view.mapToGlobal(view.place_of(item)).toPoint())
        return box

    def state(self) -> QAccessible.State:
        """Return whether the point is selected and has the keyboard focus."""
        state, item, attention = QAccessible.State(), self._item(), self._view.view.attention
        state.selectable = state.focusable = True
        state.selected = item is not None and item.key in attention.selected
        state.focused = item is not None and item.key == attention.focused
        return state

    def parent(self) -> QAccessibleInterface:
        """Return the view."""
        return self._view

    def object(self) -> QObject:
        """Return nothing: a point is no object of its own."""
        return None  # type: ignore[return-value]

    def childCount(self) -> int:
        """Return how many coordinates there are."""
        return 0 if self.handle() is None else len(AXES)

    def child(self, index: int) -> QAccessibleInterface:
        """Return a coordinate; the objects are kept, since Qt holds them only loosely."""
        return self._axes.setdefault(index, SpokenCoordinate(self, index))

    def childAt(self, x: int, y: int) -> QAccessibleInterface:
        """Return none."""
        return None  # type: ignore[return-value]

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        """Return the number of a coordinate, or -1."""
        return next((index for index, own in self._axes.items() if own is child), -1)

    def setText(self, kind: QAccessible.Text, text: str) -> None:
        """Ignore it: points are moved by the view's keys and the table of points."""

    def window(self) -> QWindow:
        """Return the view's window."""
        return self._view.window()

    def foregroundColor(self) -> QColor:
        """Return the ink."""
        return self._view.foregroundColor()

    def backgroundColor(self) -> QColor:
        """Return the paper."""
        return self._view.backgroundColor()


_spoken: dict[int, SpokenView] = {}  # Qt holds the interfaces only loosely


def _speak(class_name: str, thing: QObject) -> QAccessibleInterface | None:
    """Return the interface of a view; Qt asks its other factories for anything else."""
    if not isinstance(thing, Canvas):
        return None
    _spoken[id(thing)] = SpokenView(thing)
    thing.destroyed.connect(partial(_spoken.pop, id(thing), None))
    return _spoken[id(thing)]


@cache
def install() -> None:
    """Make views readable, once."""
    QAccessible.installFactory(_speak)


def announce(view: QWidget, words: str) -> None:
    """Let a screen reader say something."""
    if QAccessible.isActive():
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(view, words))
