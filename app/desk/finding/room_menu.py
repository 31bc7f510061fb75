"""Room on a point's menu: given and taken away, a way at a time, each one step."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtWidgets import QMenu

from app.desk.finding.choices import fixed_because
from app.document.plan_edits import set_room, set_span
from app.document.plans import Room
from app.document.point_names import point_words
from app.judge.asked import AXES, USUAL
from app.session.session import Session

NONE: Final = "No room"


def offer_room(menu: QMenu, session: Session, key: str) -> None:
    """Offer room along each axis, some each way at first, and none at all."""
    setup = session.history.value
    room = setup.rooms.get(key, Room())
    reason = fixed_because(session, key)
    part = menu.addMenu("Room to move")
    part.setEnabled(not reason)
    for axis, words in AXES.items():
        action = part.addAction(words)
        action.setCheckable(True)
        action.setChecked(getattr(room, axis) is not None)
        action.triggered.connect(_giver(session, key, axis))
    part.addSeparator()
    none = part.addAction(NONE)
    none.setEnabled(key in setup.rooms)
    none.triggered.connect(lambda *_: _take_away(session, key))


def _giver(session: Session, key: str, axis: str) -> Callable[[bool], None]:
    def give(on: bool) -> None:
        setup, some = session.history.value, USUAL[session.units]
        after = set_span(setup, key, axis, (-some, some) if on else None)
        session.commit(after, f"room of {point_words(key, setup.evidence)}")

    return give


def _take_away(session: Session, key: str) -> None:
    setup = session.history.value
    words = f"no room for {point_words(key, setup.evidence)}"
    session.commit(set_room(setup, key, None), words)
