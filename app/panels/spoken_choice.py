"""Buttons of which one is chosen, as a screen reader finds them: radio buttons, not check boxes."""

from __future__ import annotations

from functools import cache, partial
from typing import Final

from PySide6.QtCore import QObject
from PySide6.QtGui import QAccessible, QAccessibleInterface
from PySide6.QtWidgets import QAccessibleWidget, QToolButton

from app.qt.border import fenced

MARK: Final = "one of several"


@fenced
class SpokenChoice(QAccessibleWidget):
    """A tool button that is one of several, with whether it is the chosen one."""

    def __init__(self, button: QToolButton) -> None:
        super().__init__(button, QAccessible.Role.RadioButton)
        self.button = button

    def state(self) -> QAccessible.State:
        """Return whether it is chosen, beside what any widget tells."""
        state = super().state()
        state.checkable, state.checked = True, self.button.isChecked()
        return state


def one_of_several(button: QToolButton) -> None:
    """Make a button one of which only one is chosen, and let it be spoken as that."""
    _install()
    button.setCheckable(True)
    button.setProperty(MARK, True)


_spoken: dict[int, SpokenChoice] = {}  # Qt holds the interfaces only loosely


def _speak(class_name: str, thing: QObject) -> QAccessibleInterface | None:
    """Return the interface of a marked button; Qt asks its other factories for anything else."""
    if not (isinstance(thing, QToolButton) and thing.property(MARK)):
        return None
    _spoken[id(thing)] = SpokenChoice(thing)
    thing.destroyed.connect(partial(_spoken.pop, id(thing), None))
    return _spoken[id(thing)]


@cache
def _install() -> None:
    QAccessible.installFactory(_speak)
