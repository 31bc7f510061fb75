"""What one system of the car brings to the guide: its steps, lessons, pictures, choices."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, Literal, Protocol

from app.document.model import Setup, Value, Vec
from app.drawing.strokes import Drawing, Stroke
from app.drawing.views import View
from app.entry.typed import Draft
from app.systems.system import System
from geometry.dataclass import dataclass

Sort = Literal["car", "numbers", "leaves", "point", "tapes", "last"]


@dataclass(frozen=True, slots=True)
class Step:
    """One step: what is asked on its page."""

    key: str  # a point's key, or the page's name
    title: str
    sort: Sort
    fields: tuple[str, ...] = ()
    group: str = ""
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Lesson:
    """Where a point is, and how it is measured."""

    where: str
    how: str


@dataclass(frozen=True)
class Choice:
    """A choice of the first page: its title, the answers, and the draft once one is chosen."""

    title: str
    answers: tuple[str, ...]
    now: str
    chosen: Callable[[Draft, str], Draft]


@dataclass(frozen=True, slots=True)
class Row:
    """Some results that need the same keys, and the points that they need."""

    title: str
    results: tuple[str, ...]
    points: tuple[str, ...] = ()
    board: bool = False  # without it the car can't be put on the board


class GuidePart(Protocol):
    """One system's part of the guide."""

    @property
    def system(self) -> System[Any]:
        """What is measured."""

    @property
    def lessons(self) -> Mapping[str, str]:
        """The words of its pages of numbers, by the steps' keys."""

    @property
    def same_as(self) -> Mapping[str, str]:
        """The point that another one usually is at."""

    @property
    def assumed(self) -> Mapping[str, Value]:
        """What is taken for granted where a file of such an end doesn't say it."""

    @property
    def first_look(self) -> Sequence[str]:
        """The results of which the last page tells."""

    @property
    def about(self) -> Vec:
        """Where such an end usually is [mm]."""

    def gives(self, draft: Draft) -> bool:
        """Tell whether this system is being measured."""

    def choices(self, draft: Draft) -> Iterable[Choice]:
        """Return what the first page asks."""

    def steps(self, draft: Draft) -> Sequence[Step]:
        """Return the steps that this car needs, in an order that a person can follow."""

    def is_foreign(self, key: str, draft: Draft) -> bool:
        """Tell whether a key of this system is nothing that this kind of car has."""

    def lesson(self, point: str, setup: Setup) -> Lesson:
        """Return the words for a point."""

    def picture(
        self, view: View, setup: Setup, point: str = "", axis: int | None = None
    ) -> Drawing:
        """Return an invented car in a view, with one point shown and measured."""

    def strokes(self, view: View, setup: Setup, points: Mapping[str, Any]) -> list[Stroke]:
        """Return the parts of the car so far whose ends are known; points of one side by name."""

    def rows(self, setup: Setup) -> Sequence[tuple[Row, tuple[str, ...]]]:
        """Return what results need, each with the keys that the car still lacks."""

    def purposes(self, key: str) -> str:
        """Return which results a key is for, in words."""
