"""The head of the window: the car's title, the proposal, and the most used buttons."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QFont, QPalette
from PySide6.QtWidgets import QHBoxLayout, QToolButton, QWidget

from app.document.ends import end_of
from app.document.model import Change
from app.panels.quiet_line import QuietLine
from app.qt.spoken import one_of_several
from app.session.session import Session
from app.systems.every import BY_KEY, SYSTEMS
from app.systems.system import System


class Head(QWidget):
    """Title, proposal and buttons; the buttons are the window's actions."""

    def __init__(self, session: Session, actions: list[QAction]) -> None:
        super().__init__()
        self.session = session
        self.setObjectName("head")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        large = QFont(self.font())
        large.setPointSizeF(1.35 * large.pointSizeF())
        large.setWeight(QFont.Weight.DemiBold)
        self.title = QuietLine(large, hugs=True)
        self.proposal = QuietLine(role=QPalette.ColorRole.BrightText)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 6, 8, 6)
        layout.addWidget(self.title)
        layout.addWidget(self._axle_switch())
        layout.addWidget(self.proposal)
        for action in actions:
            layout.addWidget(_button(action))
        session.setup_changed.connect(self._show)
        session.system_changed.connect(self._show)
        self._show()

    def _axle_switch(self) -> QWidget:
        """Return the switch between front and rear."""
        self.switch = QWidget()
        row = QHBoxLayout(self.switch)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        self.systems = {system.key: _system_button(system, self.session) for system in SYSTEMS}
        for button in self.systems.values():
            row.addWidget(button)
        return self.switch

    def _show(self) -> None:
        setup = self.session.setup
        on = [self._named(change) for change in setup.changes if change.on]
        count = f" {len(on)} changes" if len(on) > 1 else ""
        words = f"proposed{count}: {'; '.join(on)}" if on else "as measured"
        if setup.tapes:
            from app.judge.survey_words import adjusted_words  # a car without needs no solver

            words += f" · {adjusted_words(setup)}"
        self.title.show_text(setup.title)
        system_keys = {system.key for system in self.session.systems()}
        if self.switch.isHidden() == (len(system_keys) > 1):
            self.switch.setVisible(len(system_keys) > 1)
        for key, button in self.systems.items():
            button.setChecked(key == self.session.system.key)
            button.setEnabled(key in system_keys)
        self.proposal.show_text(words)

    def _named(self, change: Change) -> str:
        """Return a change's name, with the end that it is of where that isn't the one shown."""
        keys = {*change.moves, *change.sets}
        if any(map(self.session.system.concerns, keys)):
            return change.name
        ends = [end for end in BY_KEY if end in {end_of(key) for key in keys}]
        return f"{change.name} ({' and '.join(ends)})" if ends else change.name


def _system_button(system: System[Any], session: Session) -> QToolButton:
    button = QToolButton()
    button.setText(system.title)
    one_of_several(button)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    button.setAccessibleName(f"Show the {system.key}")
    button.setToolTip(f"Show the {system.key} (Ctrl+Tab changes over)")
    button.clicked.connect(lambda *_: session.show(system))
    return button


def _button(action: QAction) -> QToolButton:
    button = QToolButton()
    button.setDefaultAction(action)
    button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return button
