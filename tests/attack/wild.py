"""What was watched while something wild went on: moves, steps, failures with how they came."""

from __future__ import annotations

import sys
from collections import Counter, deque
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from types import TracebackType
from typing import Final

from PySide6.QtCore import QMessageLogContext, QtMsgType, qInstallMessageHandler

from tests.attack.failures import kind_of, place_of

OFFSCREEN: Final = "This plugin does not support"  # what only a screen could do


@dataclass
class Tally:
    """Figures of one or many runs."""

    moves: int = 0
    drags: int = 0
    steps: Counter[str] = field(default_factory=Counter)
    compared: int = 0  # small steps
    largest: float = 0.0  # that a point moved in a small step [mm]
    refused: int = 0  # states that can't be built or reached
    undone: int = 0  # runs taken back to their start and compared
    failures: list[tuple[str, str]] = field(default_factory=list)

    def add(self, other: Tally) -> None:
        """Take in the figures of another run."""
        self.moves += other.moves
        self.drags += other.drags
        self.steps += other.steps
        self.compared += other.compared
        self.largest = max(self.largest, other.largest)
        self.refused += other.refused
        self.undone += other.undone
        self.failures += other.failures


class Story:
    """The last things done in a run, to tell how a failure came; and what failed."""

    def __init__(self, name: str, tally: Tally) -> None:
        self.name = name
        self.tally = tally
        self.last: deque[str] = deque(maxlen=8)

    def tell(self, words: str) -> None:
        """Note what is done next."""
        self.last.append(words)

    def fail(self, failure: str) -> None:
        """Note a failure; of each kind the first in a run."""
        known = {kind_of(each) for name, each in self.tally.failures if name.startswith(self.name)}
        if kind_of(failure) not in known:
            self.tally.failures.append((f"{self.name}: {', '.join(self.last)}", failure))


@contextmanager
def watched(story: Story) -> Iterator[None]:
    """Count what leaves a slot or an override, and what Qt warns of."""

    def caught(
        _kind: type[BaseException], error: BaseException, _trace: TracebackType | None
    ) -> None:
        story.fail(place_of(error))

    def said(kind: QtMsgType, _where: QMessageLogContext, words: str) -> None:
        if kind != QtMsgType.QtDebugMsg and not words.startswith(OFFSCREEN):
            story.fail(f"Qt says: {words}")

    hook, handler = sys.excepthook, qInstallMessageHandler(said)
    sys.excepthook = caught
    try:
        yield
    finally:
        sys.excepthook = hook
        qInstallMessageHandler(handler)
