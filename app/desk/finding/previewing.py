"""An answer on the drawing: a preview of the session, which goes before anything else is touched.

What edits the car begins from what the session shows. So the preview ends when the keyboard goes to
a part of the window that edits, when one of its lists is pressed, when a dialog opens, and before
the car is saved or closed.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Signal
from PySide6.QtWidgets import QApplication, QWidget

from app.document.model import Change, Setup
from app.qt.border import fenced
from app.session.session import Session


@fenced
class Preview(QObject):
    """Shows a change that isn't kept, on top of those that are there."""

    ended = Signal()  # by something else than `end`

    def __init__(self, session: Session, window: QWidget, edits: Callable[[QWidget], bool]) -> None:
        super().__init__(window)
        self.session, self.edits = session, edits
        self._shown: Setup | None = None
        session.setup_changed.connect(self._follow)
        window.installEventFilter(self)
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.focusChanged.connect(self._look)

    @property
    def is_on(self) -> bool:
        """Tell whether an answer is shown."""
        return self._shown is not None

    def show(self, change: Change, name: str) -> None:
        """Show the car with a change, as the answer of that name."""
        setup = self.session.history.value
        self._shown = setup.having(changes=(*setup.changes, change))
        self.session.preview(self._shown, name)

    def end(self) -> None:
        """Show the car as it is."""
        if self._shown is not None:
            shown, self._shown = self._shown, None
            if self.session.preview_setup is shown:
                self.session.cancel()

    def give_way(self) -> None:
        """End, because something else begins."""
        if self.is_on:
            self.end()
            self.ended.emit()

    def _follow(self) -> None:
        """Notice that a drag, a step back or an edit has taken the preview's place."""
        if self._shown is not None and self.session.preview_setup is not self._shown:
            self._shown = None
            self.ended.emit()

    def _look(self, _old: QWidget | None, new: QWidget | None) -> None:
        if self.is_on and new is not None and self.edits(new):
            self.give_way()

    def watch(self, part: QWidget) -> None:
        """Give way when a part is pressed: the press may come before the keyboard does."""
        part.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Give way to a dialog of the window, and to a press on what is watched."""
        kind = event.type()
        is_press = kind in (QEvent.Type.MouseButtonPress, QEvent.Type.MouseButtonDblClick)
        if kind == QEvent.Type.WindowBlocked or (is_press and watched is not self.parent()):
            self.give_way()
        return False
