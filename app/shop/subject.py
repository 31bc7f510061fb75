"""The subject of a sheet: the systems of a car whose work goes on paper. No Qt."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import Any

from app.document.model import Setup
from app.shop.stops import is_stopped
from app.systems.answers import Study
from geometry.dataclass import dataclass

Ends = str
"""What a sheet covers: "work", the ends with work; "all", or the end that is named."""


@dataclass(frozen=True)
class Subject:
    """The studies of one setup that go on paper, at least one; `car` are those of all of it."""

    studies: tuple[Study[Any], ...]
    car: tuple[Study[Any], ...] = ()

    def __post_init__(self) -> None:
        if not self.studies:
            raise ValueError("A sheet needs at least one system of the car.")

    @property
    def setup(self) -> Setup:
        """The setup that was studied."""
        return self.studies[0].setup

    @property
    def changed(self) -> bool:
        """Whether anything is proposed."""
        return any(study.changed for study in self.studies)

    @cached_property
    def stopped(self) -> frozenset[str]:
        """The keys of ends that can't be as proposed: no figure of theirs as built is of a car."""
        return frozenset(study.system.key for study in self.studies if is_stopped(study))

    @property
    def has_several(self) -> bool:
        """Whether figures and sections must say which system they are of."""
        return len(self.studies) > 1


def subject_of(studies: Sequence[Study[Any]], ends: Ends = "work") -> Subject:
    """Return the studies that are asked for: with work for the shop, or all, or of one end.

    With work are all of them if none has any. Pages about what stays as it is would only bury the
    ones to work from. An end that the setup doesn't give leaves the choice as if there were none.
    """
    chosen = [study for study in studies if study.system.key == ends]
    if ends == "work" or (ends != "all" and not chosen):
        chosen = [study for study in studies if study.has_work]
    whole = tuple(study.system.whole(study) for study in chosen or studies)
    return Subject(whole, tuple(studies))
