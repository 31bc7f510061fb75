"""A second car over the one that is shown: another setup file, or a proposal of the same file.

It is a choice of what is seen, no part of the setup: nothing of it is saved or undone. It is worked
out once, when it is laid over; a drag of the first car leaves it as it is.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import replace
from enum import Enum
from typing import TYPE_CHECKING, Any, TypeVar

from PySide6.QtCore import QObject, Signal

from app.document.model import Setup
from app.document.plans import Together
from app.systems.answers import Answered, CarAnswers, Pose, Study
from app.systems.pose import posed_car
from app.systems.system import System
from geometry.dataclass import dataclass
from geometry.errors import GeometryError

if TYPE_CHECKING:
    from app.session.session import Session

Kept = TypeVar("Kept")


class Which(Enum):
    """Which of the two cars is seen; the words are those of the switch."""

    BOTH = "Both"
    SECOND = "The second alone"
    FIRST = "The first alone"

    @property
    def shows_first(self) -> bool:
        """Whether the car that can be dragged is seen."""
        return self is not Which.SECOND

    @property
    def shows_second(self) -> bool:
        """Whether the car that was laid over is seen."""
        return self is not Which.FIRST


@dataclass(frozen=True)
class Laid:
    """The car that lies over: its name, its setup, and of a proposal the changes that make it."""

    name: str
    setup: Setup
    proposal: Together | None = None


class SecondCar(QObject):
    """What lies over the session's car, and which of both is seen."""

    changed = Signal()  # another car, none any more, or another one of both is seen

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.session = session
        self.laid: Laid | None = None
        self.which = Which.BOTH
        self._studies: dict[str, Study[Any] | GeometryError] = {}
        self._posed: tuple[CarAnswers, Pose, bool, Answered | None] | None = None
        self._kept: dict[Hashable, Any] = {}
        session.units_changed.connect(self._show_units)
        session.setup_changed.connect(self._follow)

    # What lies over

    def lay(self, name: str, setup: Setup) -> None:
        """Lay the car of another setup over, as built."""
        self._lay(Laid(name, setup))

    def lay_proposal(self, together: Together) -> None:
        """Lay a proposal of the setup that is open over it."""
        self._lay(_proposed(self.session.history.value, together))

    def take_away(self) -> None:
        """Show the first car alone, as if nothing had been laid over."""
        if self.laid is not None:
            self.laid = None
            self._forget()
            self.changed.emit()

    def show(self, which: Which) -> None:
        """Show both cars, or one of them alone."""
        if self.laid is not None and which is not self.which:
            self.which = which
            self.changed.emit()

    def switch(self) -> None:
        """Show the next of both, the second alone, the first alone."""
        choices = list(Which)
        self.show(choices[(choices.index(self.which) + 1) % len(choices)])

    def _lay(self, laid: Laid) -> None:
        self.laid, self.which = laid, Which.BOTH
        self._forget()
        self.changed.emit()

    # Its answers

    @property
    def shows_first(self) -> bool:
        """Whether the first car is seen: always where there is nothing to see of a second."""
        return self.which.shows_first or self.study is None

    @property
    def is_seen(self) -> bool:
        """Whether anything of a second car is seen."""
        return self.laid is not None and self.which.shows_second and self.study is not None

    @property
    def seen(self) -> Study[Any] | None:
        """The second car's study of the system that is shown, where it is seen."""
        return self.study if self.is_seen else None

    @property
    def study(self) -> Study[Any] | None:
        """The second car's study of the system that is shown; None where there is none."""
        study = self._studied(self.session.system)
        return None if isinstance(study, GeometryError) else study

    @property
    def problem(self) -> GeometryError | None:
        """Why the second car can't be built; None where it can, or hasn't this system."""
        study = self._studied(self.session.system)
        return study if isinstance(study, GeometryError) else None

    @property
    def posed(self) -> Answered | None:
        """The second car as built in the pose that is shown; None where it can't be there."""
        study, session = self.study, self.session
        if study is None:
            return None
        car, pose, in_body = study.proposed, session.pose, session.in_body
        last = self._posed
        if last is None or last[0] is not car or last[1:3] != (pose, in_body):
            self._kept.clear()
            self._posed = (car, pose, in_body, _posed(car, pose, in_body))
            return self._posed[3]
        return last[3]

    def kept(self, key: Hashable, make: Callable[[], Kept]) -> Kept:
        """Return what is made of the second car in this pose: once, while the first one moves."""
        name = self.session.system.key, id(self.posed), key  # another pose forgets what was kept
        if name not in self._kept:
            self._kept[name] = make()
        kept_car: Kept = self._kept[name]
        return kept_car

    def _studied(self, system: System[Any]) -> Study[Any] | GeometryError | None:
        if self.laid is None or not system.gives(self.laid.setup):
            return None
        if system.key not in self._studies:
            setup = self.laid.setup.having(units=self.session.units)
            try:
                self._studies[system.key] = system.study(setup)
            except GeometryError as error:
                self._studies[system.key] = error
        return self._studies[system.key]

    # What it follows

    def _forget(self) -> None:
        self._studies, self._posed, self._kept = {}, None, {}

    def _show_units(self) -> None:
        if self.laid is not None:
            self._forget()
            self.changed.emit()

    def _follow(self) -> None:
        """Work a proposal out again where its own file has changed; not during a drag."""
        laid, session = self.laid, self.session
        if laid is None or laid.proposal is None or session.preview_setup is not None:
            return
        names = {change.name for change in session.setup.changes}
        remaining = laid.proposal.only(names)
        if remaining is None:
            session.said.emit(f"“{laid.name}” is no proposal any more: it was taken away.")
            self.take_away()
            return
        renewed = _proposed(session.setup, remaining)
        if not _is_alike(renewed.setup, laid.setup):
            self.laid = renewed
            self._forget()
            self.changed.emit()


def _proposed(setup: Setup, together: Together) -> Laid:
    """Return a proposal as a car: the changes that it names on, all others off."""
    changes = tuple(replace(each, on=each.name in together.changes) for each in setup.changes)
    return Laid(together.name, setup.having(changes=changes), together)


def _is_alike(one: Setup, other: Setup) -> bool:
    """Tell whether two setups are of the same car."""
    return (one.evidence, _on(one), one.heights) == (other.evidence, _on(other), other.heights)


def _on(setup: Setup) -> tuple[Any, ...]:
    return tuple(change for change in setup.changes if change.on)


def _posed(car: CarAnswers, pose: Pose, in_body: bool) -> Answered | None:
    try:
        return posed_car(car, pose, in_body)
    except GeometryError:
        return None
