"""Repaints slow panels between two frames of a drag."""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QCoreApplication, QObject, QTimer

if TYPE_CHECKING:
    from app.session.session import Session

PERIOD: Final = 0.05  # s between updates of figures under a hand: nobody reads faster


def in_its_turn(follow: Callable[[], object]) -> None:
    """Run a slow update without delaying the frame that is waiting to be painted."""
    QCoreApplication.sendPostedEvents()
    follow()
    QCoreApplication.sendPostedEvents()


class Pace:
    """Follows a session at once at rest; now and then, after a frame, while a hand moves.

    What a hand has come to is always followed in the end, within the period.
    """

    def __init__(self, session: Session, follow: Callable[[], object], owner: QObject) -> None:
        self._session, self._follow = session, follow
        self._followed_at = 0.0  # [s]
        self._turn = QTimer(owner, singleShot=True)
        self._turn.timeout.connect(lambda: in_its_turn(self.catch_up))

    def follow(self) -> None:
        """Follow what the session shows now, or put it off."""
        if not self._session.is_in_hand:
            self.catch_up()
        elif not self._turn.isActive():
            wait = PERIOD - (monotonic() - self._followed_at)
            self._turn.start(max(0, round(1000 * wait)))

    def catch_up(self) -> None:
        """Follow at once."""
        self._turn.stop()
        self._followed_at = monotonic()
        self._follow()
