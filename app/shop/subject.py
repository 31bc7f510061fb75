"""The subject of a sheet: the systems of a car whose work goes on paper. No Qt."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from app.document.model import Setup
from app.systems.answers import Study
from geometry.dataclass import dataclass


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

    @property
    def has_several(self) -> bool:
        """Whether figures and sections must say which system they are of."""
        return len(self.studies) > 1


def with_work(studies: Sequence[Study[Any]]) -> Subject:
    """Return the studies with work for the shop; all of them if none has any.

    Pages about what stays as it is would only bury the ones to work from.
    """
    worked = tuple(study.system.whole(study) for study in studies if study.has_work)
    car = tuple(studies)
    return Subject(worked or tuple(study.system.whole(study) for study in studies), car)
