"""Repaints slow panels between two frames of a drag."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication


def in_its_turn(follow: Callable[[], object]) -> None:
    """Run a slow update without delaying the frame that is waiting to be painted."""
    QCoreApplication.sendPostedEvents()
    follow()
    QCoreApplication.sendPostedEvents()
