"""What a sheet is about: the front of a car, its rear, or both. No Qt."""

from __future__ import annotations

from dataclasses import dataclass

from app.document.model import Setup
from app.systems.front.study import Study
from app.systems.rear.study import RearStudy

AnyStudy = Study | RearStudy


@dataclass(frozen=True)
class Subject:
    """The studies of one setup that go on paper; at least one of them."""

    front: Study | None
    rear: RearStudy | None = None

    def __post_init__(self) -> None:
        if self.front is None and self.rear is None:
            raise ValueError("A sheet needs a front or a rear.")

    @property
    def studies(self) -> tuple[AnyStudy, ...]:
        """What there is, the front first."""
        return tuple(each for each in (self.front, self.rear) if each is not None)

    @property
    def setup(self) -> Setup:
        """The setup that was studied."""
        return self.studies[0].setup

    @property
    def changed(self) -> bool:
        """Whether anything is proposed."""
        return any(study.changed for study in self.studies)

    @property
    def is_whole(self) -> bool:
        """Whether both ends are there."""
        return len(self.studies) == 2


def end_of(study: AnyStudy) -> str:
    """Return which end a study is of, "front" or "rear"."""
    return "rear" if isinstance(study, RearStudy) else "front"
