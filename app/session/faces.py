"""What the screen shows of one system of the car: its study and its cars in a pose."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from app.document.model import Setup
from app.systems.answers import Answered, CarAnswers, Pose, Study
from app.systems.banded import StudyBands
from app.systems.every import SYSTEMS, given_systems
from app.systems.pose import posed_car, posed_cars
from app.systems.shown import NOTHING, Overlay
from app.systems.system import System

REST: Final = Pose()


@dataclass
class Face:
    """One system on the screen; its state is kept while another one is shown.

    `measured` and `proposed` are both cars in the pose; `measured` is None where it can't be there.
    `bands` are the newest that have come, of the setup `bands_of` where that is all of them.
    The pose counts from where each car stands, or with `in_body` from one place in the body.
    `measured_at` is the car that `measured` was posed of, and the pose.
    """

    study: Study[Any] | None = None
    measured: Answered | None = None
    proposed: Answered | None = None
    pose: Pose = REST
    in_body: bool = False
    overlay: Overlay = NOTHING
    selection: tuple[str, ...] = ()
    bands: StudyBands | None = None
    bands_of: Setup | None = None
    measured_at: tuple[CarAnswers, Pose] | None = None

    def bands_beside(self, setup: Setup) -> StudyBands | None:
        """Return the newest bands as they hold beside a car that may be another than theirs."""
        bands = self.bands
        return bands if bands is None or self.bands_of == setup else bands.unjudged

    def posed(self, study: Study[Any]) -> tuple[Answered | None, Answered]:
        """Return both cars of a study in the pose; the measured one is posed once in a drag.

        Raises
        ------
        GeometryError
            The proposed car can't take the pose.
        """
        car, pose = self.measured_at or (None, None)
        if study.changed and car is study.measured and pose == self.pose:
            return self.measured, posed_car(study.proposed, self.pose, self.in_body)
        return posed_cars(study, self.pose, self.in_body)

    def show(self, study: Study[Any], measured: Answered | None, proposed: Answered) -> None:
        """Show both cars of a study in the pose."""
        self.study, self.measured, self.proposed = study, measured, proposed
        self.measured_at = (study.measured, self.pose) if study.changed else None


def system_to_show(setup: Setup, shown: System[Any]) -> System[Any]:
    """Return the system to show: the one shown where the setup gives it, else the first given."""
    systems = given_systems(setup)
    return shown if shown in systems else next(iter(systems), SYSTEMS[0])


def last_on(setup: Setup, system: System[Any]) -> int | None:
    """Return the last change that is on and of this system: the one a drag goes on with."""
    on = [
        index
        for index, change in enumerate(setup.changes)
        if change.on and any(map(system.is_own, (*change.moves, *change.sets)))
    ]
    return on[-1] if on else None
