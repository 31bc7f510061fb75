"""A hand on the window: real mouse and key events at places of the drawing."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication

from app.board.view import BoardView
from app.drawing.strokes import Stop

LEFT = Qt.MouseButton.LeftButton
NONE = Qt.MouseButton.NoButton
PLAIN = Qt.KeyboardModifier.NoModifier


class Hand:
    """Presses, moves and lets go over one view."""

    def __init__(self, view: BoardView) -> None:
        self.view = view
        self.at = QPointF()

    def place_of(self, key: str) -> QPointF:
        """Return the pixel of a handle, or of the middle of a grip's outline."""
        item = self.view.aim.find(key)
        assert item is not None, f"{key} is not on this view"
        if isinstance(item, Stop):
            return self.view.place_of(item)
        place = getattr(item, "at", None) or tuple(item.outline[0])
        return QPointF(*self.view.frame.to_device(place))

    def press(self, key: str, modifiers: Qt.KeyboardModifier = PLAIN) -> None:
        """Press the left button on a handle."""
        self.at = self.place_of(key)
        self._send(QEvent.Type.MouseMove, NONE, NONE, PLAIN)
        self._send(QEvent.Type.MouseButtonPress, LEFT, LEFT, modifiers)

    def move(self, right: float, down: float, modifiers: Qt.KeyboardModifier = PLAIN) -> None:
        """Move by pixels in five steps."""
        for _ in range(5):
            self.at = self.at + QPointF(right / 5, down / 5)
            self._send(QEvent.Type.MouseMove, NONE, LEFT, modifiers)

    def move_mm(self, right: float, up: float, modifiers: Qt.KeyboardModifier = PLAIN) -> None:
        """Move by millimetres of the drawing."""
        scale = self.view.frame.scale
        self.move(right * scale, -up * scale, modifiers)

    def let_go(self) -> None:
        """Release the left button."""
        self._send(QEvent.Type.MouseButtonRelease, LEFT, NONE, PLAIN)

    def drag_mm(self, key: str, right: float, up: float) -> None:
        """Drag a handle by millimetres."""
        self.press(key)
        self.move_mm(right, up)
        self.let_go()

    def _send(
        self,
        kind: QEvent.Type,
        button: Qt.MouseButton,
        buttons: Qt.MouseButton,
        modifiers: Qt.KeyboardModifier,
    ) -> None:
        at = self.at
        event = QMouseEvent(kind, at, self.view.mapToGlobal(at), button, buttons, modifiers)
        QApplication.sendEvent(self.view, event)
        QApplication.processEvents()
