"""A job for the shop, and what a system of the car knows of its own jobs. No Qt."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, Protocol

from app.document.address import Point
from app.document.keys import KEYS
from app.document.model import Change, Setup, Value, Vec
from geometry.dataclass import dataclass

BOTH: Final = ", both sides"
LEFT: Final = ", left side"
RIGHT: Final = ", right side"


@dataclass(frozen=True)
class Job:
    """One job: what to do, and smaller words on how.

    `parts` are the sentences of the title where there are several: each is ticked off by itself.
    """

    title: str
    details: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()

    @property
    def ticks(self) -> tuple[str, ...]:
        """What is ticked off, a box each."""
        return self.parts or (self.title,)


@dataclass(frozen=True)
class Step:
    """A move that some points of one side, or of both, make alike, by their left-hand keys.

    `move` is as of the left side [mm]; `sides` is ", both sides", ", left side", ", right side" or
    empty.
    """

    keys: tuple[str, ...]
    move: Vec
    sides: str

    @property
    def own_keys(self) -> tuple[str, ...]:
        """The points of the side that is meant, the left one where both are."""
        return tuple(map(_right_of, self.keys)) if self.sides == RIGHT else self.keys

    @property
    def one_side(self) -> bool:
        """Whether it is of a part that the car has on either side, on one of them alone."""
        return self.sides in (LEFT, RIGHT)


class JobWords(Protocol):
    """What a system knows of its own jobs; all keys and values handed to it are its own."""

    @property
    def groups(self) -> Mapping[tuple[str, ...], str]:
        """Points that are one thing to the shop, and its name."""

    def own_titles(
        self, setup: Setup, steps: Sequence[Step], decimal: str
    ) -> tuple[list[str], list[Step]]:
        """Return titles of steps that are told in a way of their own, and the other steps."""

    def verb(self, setup: Setup, change: Change, step: Step) -> str:
        """Return what is done to points: "Re-drill", "Move"."""

    def set_titles(
        self, setup: Setup, sets: Mapping[str, Value], decimal: str
    ) -> tuple[list[str], set[str]]:
        """Return titles of values that are set, and the keys that they tell of."""

    def kept_parts(self, setup: Setup, change: Change, moves: Mapping[str, Vec]) -> str:
        """Say which parts stay the same where their holes move; empty for none."""

    def hole_size(self, setup: Setup, moves: Mapping[str, Vec], decimal: str) -> str:
        """Say how wide the holes are that are drilled; empty where none is."""

    def without_effect(self, setup: Setup, keys: Sequence[str]) -> str:
        """Say why what is moved and set does nothing on the car as built; empty where it does."""

    def details(self, setup: Setup, sets: Mapping[str, Value], decimal: str) -> Iterator[str]:
        """Yield smaller words on how values are set."""


def _right_of(key: str) -> str:
    mirror = Point.at(key).mirror.key
    return mirror if mirror in KEYS else key
