"""A view of the board with mouse and keyboard: it signals drags, and never moves points."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QEnterEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from app.board.canvas import Canvas
from app.board.spoken import announce, install
from app.document.quantities import INCH
from app.drawing.strokes import Drawing, Grip, Handle, HandleShape, Place, Stop
from app.drawing.views import View
from app.qt.border import fenced
from geometry.dataclass import dataclass

DEAD_ZONE: Final = 3.0  # a press that moves less is a click [px]
WHEEL_STEP: Final = 1.0015  # zoom per 1/8 degree
KEY_ZOOM: Final = 1.25
KEY_PAN: Final = 40.0  # [px]
NUDGE: Final = {"mm": 1.0, "in": INCH / 32}  # [mm]
FINE: Final = 0.2  # of the paper's speed, while a drag is slowed
FINE_STEP: Final = 0.5  # of a whole step is the most that a slowed drag takes with one pixel
ARROWS: Final = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, 1),
    Qt.Key.Key_Down: (0, -1),
}
WALK: Final = {
    Qt.Key.Key_BracketLeft: -1,
    Qt.Key.Key_BracketRight: 1,
    Qt.Key.Key_PageUp: -1,
    Qt.Key.Key_PageDown: 1,
}
SHIFT: Final = Qt.KeyboardModifier.ShiftModifier
CONTROL: Final = Qt.KeyboardModifier.ControlModifier
ALT: Final = Qt.KeyboardModifier.AltModifier
LEFT: Final = Qt.MouseButton.LeftButton
MIDDLE: Final = Qt.MouseButton.MiddleButton


@dataclass(frozen=True)
class Grab:
    """The thing being dragged: where it is on paper, and which pixel took it there."""

    key: str
    at: QPointF
    place: Place
    moved: bool = False
    deselects: bool = False  # a click, not a drag, takes it out of the selection


@fenced
class BoardView(Canvas):
    """One view of the board. Places in its signals are paper millimetres."""

    title_double_clicked = Signal()
    pressed = Signal(str, object, object)  # key, (u, v), modifiers
    dragged = Signal(str, object, object)  # key, (u, v), modifiers
    released = Signal(str)
    cancelled = Signal()
    hovered = Signal(object)  # key or None
    point_double_clicked = Signal(str)
    context_requested = Signal(object, object)  # key or None, global QPoint
    nudged = Signal(str, float, float, object)  # key, du, dv [mm], modifiers
    selection_requested = Signal(str, bool)  # key ("" for none), add to the selection

    def __init__(self, view: View, parent: QWidget | None = None) -> None:
        install()
        super().__init__(view, parent)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(self.title)
        self.current: str | None = None
        self._grab: Grab | None = None
        self._pan_from: QPointF | None = None
        self._pan_start = QPointF()
        self._space = False

    def set_drawing(self, drawing: Drawing) -> None:
        """Show a drawing; a point that is gone loses the keyboard and the pointer."""
        super().set_drawing(drawing)
        if self.aim.find(self.current) is None:
            self._make_current(None)
        if self.attention.hovered and self.aim.find(self.attention.hovered) is None:
            self._hover(None)

    def clear(self) -> None:
        """Show nothing; cancel a drag, which would go on unseen."""
        self.let_go()
        super().clear()

    def let_go(self) -> None:
        """Cancel the drag."""
        if self._grab is not None:
            self._cancel()

    def release(self) -> None:
        """End the drag as if the button was released at the pointer."""
        if self._grab is not None:
            grab, self._grab = self._grab, None
            self.dropped = grab.key if grab.moved else None
            self.forget_slots()
            self.released.emit(grab.key)
            if grab.deselects and not grab.moved:
                self.selection_requested.emit(grab.key, True)

    def is_dragging(self) -> bool:
        """Tell whether a point or a grip is being dragged."""
        return self._grab is not None

    # The pointer

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of a point, or of the paper."""
        at, button = event.position(), event.button()
        key = self._key_at(at)
        if button == MIDDLE or (button == LEFT and (self._space or key is None)):
            self._pan_from = self._pan_start = at
            self._show_cursor()
        elif button == LEFT and key is not None and self._grab is None:
            self._take(key, at, event.modifiers())

    def _take(self, key: str, at: QPointF, modifiers: Qt.KeyboardModifier) -> None:
        pointer, item = self.frame.to_paper(at.x(), at.y()), self.aim.find(key)
        place = item.at if isinstance(item, Handle) else pointer
        is_selected, add = key in self.attention.selected, bool(modifiers & CONTROL)
        self._grab = Grab(key, at, place, deselects=add and is_selected)
        self._make_current(key)
        if not is_selected:
            self.selection_requested.emit(key, add)
        self.pressed.emit(key, place, modifiers)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag what is held, push the paper, or look at what is under the pointer."""
        at = event.position()
        if self._grab is not None:
            self._drag(self._grab, at, event.modifiers())
        elif self._pan_from is not None:
            step, self._pan_from = at - self._pan_from, at
            self.pan(step.x(), step.y())
        else:
            self._hover(self._key_at(at))

    def _drag(self, grab: Grab, at: QPointF, modifiers: Qt.KeyboardModifier) -> None:
        step = at - grab.at
        if not grab.moved and step.manhattanLength() < DEAD_ZONE:
            return
        speed = self._speed(modifiers)
        place = grab.place[0] + speed * step.x(), grab.place[1] - speed * step.y()
        self._grab = replace(grab, at=at, place=place, moved=True)
        self.dragged.emit(grab.key, place, modifiers)

    def _speed(self, modifiers: Qt.KeyboardModifier) -> float:
        """Return how far a pixel drags [mm]: the paper's scale, much less of it with Ctrl.

        Slowed, each whole millimetre or 1/32 in has pixels of its own at any zoom.
        """
        speed = 1.0 / self.frame.scale
        if not modifiers & CONTROL:
            return speed
        return min(FINE * speed, FINE_STEP * NUDGE[self._units])

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go; a click on empty paper selects nothing."""
        if self._grab is not None and event.button() == LEFT:
            self.release()
        elif self._pan_from is not None and event.button() in (LEFT, MIDDLE):
            still = (event.position() - self._pan_start).manhattanLength() < DEAD_ZONE
            self._pan_from = None
            if still and event.button() == LEFT and not self._space:
                self.selection_requested.emit("", False)
        self._show_cursor()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Open a point for typing, or fill the board with this view."""
        key = self._key_at(event.position())
        if event.button() == LEFT and key is not None:
            self.point_double_clicked.emit(key)
        elif event.button() == LEFT and self.title_rect().contains(event.position()):
            self.title_double_clicked.emit()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the pointer."""
        self.zoom(WHEEL_STEP ** event.angleDelta().y(), event.position())
        event.accept()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Ask for the menu of the point under the pointer, or of the one with the keyboard."""
        if self._grab is not None:
            return
        if event.reason() != QContextMenuEvent.Reason.Keyboard:
            self.context_requested.emit(self._key_at(QPointF(event.pos())), event.globalPos())
            return
        item = self.aim.find(self.current)
        at = self.place_of(item).toPoint() if item else self.rect().center()
        self.context_requested.emit(self.current, self.mapToGlobal(at))

    def leaveEvent(self, event: QEvent) -> None:
        """Forget what was under the pointer."""
        self._hover(None)
        super().leaveEvent(event)

    def enterEvent(self, event: QEnterEvent) -> None:
        """Look at what is under the pointer."""
        self._hover(self._key_at(event.position()))
        super().enterEvent(event)

    def _key_at(self, at: QPointF) -> str | None:
        inside = self.paper_area().contains(at) and not self.title_rect().contains(at)
        selected = self.attention.selected
        return self.aim.at(self.frame, at.x(), at.y(), selected) if inside else None

    def _hover(self, key: str | None) -> None:
        if key != self.attention.hovered:
            self.dropped = None
            self._attend(replace(self.attention, hovered=key))
            self._show_cursor()
            self.hovered.emit(key)

    def _show_cursor(self) -> None:
        item = self.aim.find(self.attention.hovered)
        if self._pan_from is not None:
            self.setCursor(Qt.CursorShape.ClosedHandCursor)
        elif self._space:
            self.setCursor(Qt.CursorShape.OpenHandCursor)
        elif isinstance(item, Grip) or (
            isinstance(item, Handle) and item.shape is HandleShape.RESULT
        ):
            self.setCursor(Qt.CursorShape.SizeVerCursor)
        elif isinstance(item, Stop):
            is_upright = item.way[0] == 0.0
            shapes = Qt.CursorShape
            self.setCursor(shapes.SizeVerCursor if is_upright else shapes.SizeHorCursor)
        elif item is not None:
            self.setCursor(Qt.CursorShape.PointingHandCursor)
        else:
            self.unsetCursor()

    # The keyboard

    def event(self, event: QEvent) -> bool:
        """Keep this view's keys from the window's shortcuts while it has the focus."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            taken = event.key() in ARROWS or event.key() in WALK or self._is_escape(event)
            if taken and not (event.modifiers() & ALT and event.key() in WALK):
                event.accept()
                return True
        return super().event(event)

    def _is_escape(self, event: QKeyEvent) -> bool:
        return event.key() == Qt.Key.Key_Escape and self._grab is not None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Nudge, walk, zoom, fit, cancel."""
        key = Qt.Key(event.key())
        if self._is_escape(event):
            self._cancel()
        elif key in ARROWS:
            self._arrow(*ARROWS[key], event.modifiers())
        elif key in WALK and self._grab is None:
            self._walk(WALK[key])
        elif key == Qt.Key.Key_Space:
            self._space = True
            self._show_cursor()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.current:
            self.point_double_clicked.emit(self.current)
        elif not self._look(key):
            super().keyPressEvent(event)

    def _look(self, key: Qt.Key) -> bool:
        if key == Qt.Key.Key_F:
            self.fit()
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.zoom(KEY_ZOOM)
        elif key == Qt.Key.Key_Minus:
            self.zoom(1 / KEY_ZOOM)
        else:
            return False
        return True

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Let go of the paper."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = False
            self._show_cursor()
        super().keyReleaseEvent(event)

    def _cancel(self) -> None:
        self._grab = None
        self.forget_slots()
        self.cancelled.emit()

    def _arrow(self, right: int, up: int, modifiers: Qt.KeyboardModifier) -> None:
        """Nudge the point with the keyboard; with none, push the paper."""
        if self.current is None:
            self.pan(-KEY_PAN * right, KEY_PAN * up)
        elif self._grab is None:
            step = NUDGE[self._units] * nudge_factor(modifiers)
            self.nudged.emit(self.current, step * right, step * up, modifiers)

    def _walk(self, step: int) -> None:
        keys = self.aim.keys()
        if keys:
            start = keys.index(self.current) if self.current in keys else min(0, -step)
            key = keys[(start + step) % len(keys)]
            self._make_current(key)
            self.selection_requested.emit(key, False)

    def _make_current(self, key: str | None) -> None:
        changed = key != self.current
        self.current = key
        self._attend(replace(self.attention, focused=key if self.hasFocus() else None))
        item = self.aim.find(key)
        if changed and item is not None:
            announce(self, f"{item.name} {item.value}")

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show where the keyboard is."""
        self._attend(replace(self.attention, focused=self.current))
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Hide where the keyboard was, and let go of the paper."""
        self._space = False
        self._attend(replace(self.attention, focused=None))
        super().focusOutEvent(event)


def nudge_factor(modifiers: Qt.KeyboardModifier) -> float:
    """Return 10 with Shift, a tenth with Alt or Ctrl, else 1."""
    if modifiers & SHIFT:
        return 10.0
    return 0.1 if modifiers & (ALT | CONTROL) else 1.0
