"""Keeps what trails a drag out of its frames."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication


def in_its_turn(follow: Callable[[], object]) -> None:
    """Let something follow that paints for itself: the frame that waits isn't held up by it."""
    QCoreApplication.sendPostedEvents()
    follow()
    QCoreApplication.sendPostedEvents()
