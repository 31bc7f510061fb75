"""The words of the status line while there is no message: what a hand can do on the drawing."""

from __future__ import annotations

from PySide6.QtWidgets import QLabel

from app.panels.widgets import EDGE, small_label
from app.session.session import Session

HANDS = (
    "Drag a square (a hole in the body) or a circle (a joint). Shift keeps one axis, Ctrl goes "
    "slowly, Alt suspends the snap, the arrow keys nudge, Escape takes a drag back, F fits the "
    "drawing. Dashed: as found."
)
ALONE = (
    "The second car alone, which can't be dragged. O shows the other one, F fits the drawing, "
    "Escape takes the second car away."
)


def foot_line(session: Session) -> QLabel:
    """Return the line, which follows what is seen."""
    label = small_label(HANDS)
    label.setWordWrap(False)
    label.setContentsMargins(EDGE, 0, 0, 0)

    def follow() -> None:
        label.setText(HANDS if session.second.shows_first else ALONE)

    session.second.changed.connect(follow)
    session.system_changed.connect(follow)
    return label
