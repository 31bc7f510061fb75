"""A strip under the head that says one thing and offers to do something about it, or not."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QWidget

from app.document.plain_text import one_line


class Notice(QWidget):
    """Stays until it is answered; the board can be used meanwhile."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("hint")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.words = QLabel()
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        self.words.setWordWrap(True)
        self.act, self.later = QToolButton(), QToolButton()
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 4, 8, 4)
        layout.addWidget(self.words, 1)
        for button in (self.act, self.later):
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            button.clicked.connect(self.hide)
            layout.addWidget(button)
        self.act.clicked.connect(self._answer)
        self._do: Callable[[], object] | None = None
        self.hide()

    def offer(self, words: str, act: str, do: Callable[[], object], later: str) -> None:
        """Say something, with the words of the button that acts, if any, and of the other."""
        self.words.setText(one_line(words))
        self.act.setText(act)
        self.act.setVisible(bool(act))
        self.later.setText(later)
        self._do = do
        self.show()

    def _answer(self) -> None:
        if self._do is not None:
            self._do()
