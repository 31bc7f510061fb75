"""The hint at the first start: three steps, hidden with a click and not shown again."""

from __future__ import annotations

from PySide6.QtCore import QSettings, Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QWidget

STEPS = (
    "This is an invented car.  "
    "<b>1</b> Drag a square on the drawing: a hole in the body moves, the same parts are bolted to "
    "it.  "
    "<b>2</b> Read at the right what the whole car answers, and below what it means.  "
    "<b>3</b> Print the setup sheet for the shop."
)


class Hint(QWidget):
    """A strip under the head."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("hint")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        words = QLabel(STEPS)
        words.setWordWrap(True)
        close = QToolButton()
        close.setText("Got it")
        close.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        close.clicked.connect(self.dismiss)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 4, 8, 4)
        layout.addWidget(words, 1)
        layout.addWidget(close, 0, Qt.AlignmentFlag.AlignTop)
        self.setVisible(not QSettings().value("hint/seen", False, bool))

    def dismiss(self) -> None:
        """Hide the hint, also at later starts."""
        QSettings().setValue("hint/seen", True)
        self.hide()
