"""Undo as a list of values: every step is a whole setup with the words of what was done."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace
from typing import Generic, TypeVar

from geometry.dataclass import dataclass

Kept = TypeVar("Kept")
_MOST = 500  # steps; a setup shares nearly all of its parts with the one before it


@dataclass(frozen=True, slots=True)
class Step(Generic[Kept]):
    """A value, the words for how it came about, and the token of the nudges it merges with."""

    value: Kept
    words: str
    token: Hashable = None


@dataclass(frozen=True, slots=True)
class History(Generic[Kept]):
    """An immutable history: steps, where we are in them, and which one is on disk."""

    steps: tuple[Step[Kept], ...]
    index: int = 0
    saved: int | None = 0

    @classmethod
    def of(cls, value: Kept, saved: bool = True) -> History[Kept]:
        """Return the history that begins with a value."""
        return cls((Step(value, ""),), 0, 0 if saved else None)

    @property
    def value(self) -> Kept:
        """Return the present value."""
        return self.steps[self.index].value

    @property
    def is_saved(self) -> bool:
        """Tell whether the present value is the one on disk."""
        return self.saved is not None and self.steps[self.saved].value == self.value

    @property
    def undo_words(self) -> str:
        """Return what undo would take back; empty when there is nothing."""
        return self.steps[self.index].words if self.index > 0 else ""

    @property
    def redo_words(self) -> str:
        """Return what redo would do again; empty when there is nothing."""
        following = self.steps[self.index + 1 : self.index + 2]
        return following[0].words if following else ""

    def push(self, value: Kept, words: str, token: Hashable = None) -> History[Kept]:
        """Return the history with a step added; one with the present step's token replaces it.

        A value equal to the present one adds nothing. What could be redone is forgotten. A saved
        value is never merged away, and nudges taken back to where they began leave no step.
        """
        if value == self.value:
            return self
        length = self.index + 1
        if token is not None and token == self.steps[self.index].token and not self._on_disk:
            length -= 1
            if length and self.steps[length - 1].value == value:
                return self._cut(self.steps[:length], length)
        return self._cut((*self.steps[:length], Step(value, words, token)), length)

    def undo(self) -> History[Kept]:
        """Return the history one step back."""
        return replace(self, index=max(self.index - 1, 0))

    def redo(self) -> History[Kept]:
        """Return the history one step forward."""
        return replace(self, index=min(self.index + 1, len(self.steps) - 1))

    def at(self, index: int) -> History[Kept]:
        """Return the history at one of its steps."""
        return replace(self, index=min(max(index, 0), len(self.steps) - 1))

    def mark_saved(self) -> History[Kept]:
        """Return the history with the present value as the one on disk."""
        return replace(self, saved=self.index)

    @property
    def _on_disk(self) -> bool:
        return self.saved == self.index

    def _cut(self, steps: tuple[Step[Kept], ...], length: int) -> History[Kept]:
        """Return the history of these steps, of which the first `length` are from this one."""
        drop = max(len(steps) - _MOST, 0)
        saved = self.saved if self.saved is not None and drop <= self.saved < length else None
        return History(steps[drop:], len(steps) - drop - 1, None if saved is None else saved - drop)
