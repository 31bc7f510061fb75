"""Long work that lets others break it off between its parts."""

from __future__ import annotations

from collections.abc import Callable

Pause = Callable[[], None]


class BrokenOff(Exception):
    """Something newer is asked for."""


def go_on() -> None:
    """Pause for nobody."""
