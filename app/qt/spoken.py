"""What widgets tell a screen reader that Qt alone wouldn't: another role, a slider's own figure."""

from __future__ import annotations

from functools import cache, partial
from typing import Any, Final

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAccessible, QAccessibleInterface, QAccessibleValueInterface
from PySide6.QtWidgets import QAbstractButton, QAccessibleWidget, QComboBox, QSlider, QWidget
from shiboken6 import VoidPtr

from app.qt.border import fenced

MARK: Final = "spoken as"  # the property with a widget's role


def spoken_as(widget: QWidget, role: QAccessible.Role) -> None:
    """Let a widget be spoken as another kind of thing than its class says."""
    _install()
    widget.setProperty(MARK, role.value)


def one_of_several(button: QAbstractButton) -> None:
    """Make a button one of which only one is chosen, and let it be spoken as that."""
    button.setCheckable(True)
    spoken_as(button, QAccessible.Role.RadioButton)


def name_list(box: QComboBox, name: str, purpose: str = "") -> None:
    """Name a list of which one holds; where the name gives way to what holds, it is described."""
    box.setAccessibleName(name)
    box.setAccessibleDescription(f"{name}. {purpose}" if purpose else name)


@fenced
class FigureSlider(QSlider):
    """A slider that counts in steps; a screen reader is told the figure that they come to."""

    def __init__(self, name: str, per_step: float) -> None:
        _install()
        super().__init__(Qt.Orientation.Horizontal)
        self.setAccessibleName(name)
        self.per_step = per_step  # in the unit that is shown

    @property
    def figure(self) -> float:
        """Return what is chosen, in the unit that is shown."""
        return self.value() * self.per_step


@fenced
class SpokenFigure(QAccessibleValueInterface):
    """The figure of a slider, its ends and its step."""

    def __init__(self, slider: FigureSlider) -> None:
        super().__init__()
        self.slider = slider

    def currentValue(self) -> float:
        """Return what is chosen."""
        return self.slider.figure

    def setCurrentValue(self, value: Any) -> None:
        """Choose a figure, to the nearest step."""
        self.slider.setValue(round(float(value) / self.slider.per_step))

    def minimumValue(self) -> float:
        """Return the least."""
        return self.slider.minimum() * self.slider.per_step

    def maximumValue(self) -> float:
        """Return the most."""
        return self.slider.maximum() * self.slider.per_step

    def minimumStepSize(self) -> float:
        """Return what one step is."""
        return self.slider.singleStep() * self.slider.per_step


@fenced
class SpokenSlider(QAccessibleWidget):
    """A slider with its figure for a value."""

    def __init__(self, slider: FigureSlider) -> None:
        super().__init__(slider, QAccessible.Role.Slider)
        self._figure = SpokenFigure(slider)

    def interface_cast(self, kind: QAccessible.InterfaceType) -> Any:
        """Return the figure where a value is asked for; Qt takes no None for what there isn't."""
        if kind == QAccessible.InterfaceType.ValueInterface:
            return self._figure
        return super().interface_cast(kind) or VoidPtr(0)


@fenced
class SpokenWidget(QAccessibleWidget):
    """A widget in its role, with whether it is chosen."""

    def __init__(self, widget: QWidget, role: QAccessible.Role) -> None:
        super().__init__(widget, role)
        self._widget = widget

    def state(self) -> QAccessible.State:
        """Return whether it is chosen, beside what any widget tells."""
        state = super().state()
        if isinstance(self._widget, QAbstractButton):
            state.checkable, state.checked = True, self._widget.isChecked()
        return state


_spoken: dict[int, QAccessibleWidget] = {}  # Qt holds the interfaces only loosely


def _speak(class_name: str, thing: QObject) -> QAccessibleInterface | None:
    """Return the interface of a widget marked; Qt asks its other factories for anything else."""
    if isinstance(thing, FigureSlider):
        _spoken[id(thing)] = SpokenSlider(thing)
    elif isinstance(thing, QWidget) and thing.property(MARK) is not None:
        _spoken[id(thing)] = SpokenWidget(thing, QAccessible.Role(thing.property(MARK)))
    else:
        return None
    thing.destroyed.connect(partial(_spoken.pop, id(thing), None))
    return _spoken[id(thing)]


@cache
def _install() -> None:
    QAccessible.installFactory(_speak)
