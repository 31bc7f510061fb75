"""What the session holds, and what can be asked of it: nothing here changes what is shown."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from PySide6.QtCore import QLocale, QObject

from app.document.files import LoadedSetup
from app.document.history import History
from app.document.model import SETTLES, FrozenMap, HeightChoice, Setup, Units, Vec
from app.session.faces import Face, last_on, system_to_show
from app.systems.answers import Answered, Pose, Study
from app.systems.banded import StudyBands
from app.systems.every import SYSTEMS, given_systems
from app.systems.shown import Overlay
from app.systems.system import System
from app.words.errors import geometry_words
from geometry.errors import GeometryError


class OpenSetup(QObject):
    """The open setup with its history, what is chosen, and the studies of all systems."""

    def __init__(self, setup: Setup, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.history: History[Setup] = History.of(setup)
        self.loaded: LoadedSetup | None = None
        self.preview_setup: Setup | None = None
        self.preview_name = ""  # of a preview that no hand holds: "Answer 1"
        self.units: Units = setup.units
        self.locks: FrozenMap[frozenset[int]] = FrozenMap()
        self.system: System[Any] = system_to_show(setup, SYSTEMS[0])
        self.faces = {system.key: Face() for system in SYSTEMS}
        self.active: int | None = last_on(setup, self.system)
        self.problem: GeometryError | None = None
        self._is_posing = False

    # What is shown

    @property
    def face(self) -> Face:
        """What the screen shows of the system that is shown."""
        return self.faces[self.system.key]

    @property
    def study(self) -> Study[Any] | None:
        """The study that is shown; during a drag it may lack what curves need."""
        return self.face.study

    @property
    def bands(self) -> StudyBands | None:
        """How far results of the shown system may be off; None where nobody knows, or not yet."""
        return self.face.bands_beside(self.setup)

    @property
    def measured(self) -> Answered | None:
        """The measured car in the pose, None where it can't be there."""
        return self.face.measured

    @property
    def proposed(self) -> Answered | None:
        """The proposed car in the pose."""
        return self.face.proposed

    @property
    def pose(self) -> Pose:
        """The pose that the car is shown in."""
        return self.face.pose

    @property
    def in_body(self) -> bool:
        """Whether both cars are shown from one place in the body, not each where it stands."""
        return self.face.in_body

    @property
    def height(self) -> HeightChoice:
        """What the setup says of the height at which the proposal stands."""
        return self.setup.heights.get(self.system.key, SETTLES)

    @property
    def overlay(self) -> Overlay:
        """The motion added to the pose: wind-up or a mode."""
        return self.face.overlay

    @property
    def selection(self) -> tuple[str, ...]:
        """Keys of the selected points."""
        return self.face.selection

    # The setup

    @property
    def setup(self) -> Setup:
        """The setup as it is now, a preview included."""
        return self.preview_setup or self.history.value

    @property
    def is_in_hand(self) -> bool:
        """Tell whether a hand moves a point, or the car: what follows may take its turn."""
        return self.preview_setup is not None or self._is_posing

    @property
    def shown_setup(self) -> Setup:
        """The setup in the units that are shown, which need not be its file's."""
        setup = self.setup
        return setup if setup.units == self.units else setup.having(units=self.units)

    @property
    def path(self) -> Path | None:
        """Where the setup was read from or saved to."""
        return self.loaded.path if self.loaded else None

    @property
    def is_saved(self) -> bool:
        """Tell whether the file on disk holds the setup as it is."""
        return self.history.is_saved

    # What is worked out of it

    def systems(self) -> tuple[System[Any], ...]:
        """Return the systems of the car that the setup gives."""
        return given_systems(self.setup)

    def stands(self) -> float | None:
        """Return how far the proposal's wheels stand in the body [mm], None where not known."""
        return self.study.stands if self.study else None

    @property
    def problem_words(self) -> str:
        """What is wrong with the proposal, in the units that are shown; empty where nothing is."""
        if self.problem is None:
            return ""
        return geometry_words(
            self.problem, self.units, QLocale().decimalPoint(), self.setup.evidence
        )

    def places(self) -> dict[str, Vec]:
        """Return where the proposal's points are at the measured height; none that can't be."""
        if self.study is None:
            return {}
        try:
            return self.system.places(self.study)
        except GeometryError:
            return {}

    def study_of(self, system: System[Any]) -> Study[Any]:
        """Return the whole study of a system, whichever is shown; solved when it is asked for.

        Raises
        ------
        GeometryError
            The proposal can't be built.
        """
        face = self.faces[system.key]
        study = self._whole_study(system)
        face.study = replace(study, bands=face.bands_beside(self.setup))
        return face.study

    def car(self) -> tuple[Study[Any], ...]:
        """Return the studies of all that can be built, the one shown first; the others short."""
        others = (self._other_end(system) for system in self.systems())
        built = (
            study for study in others if study is not None and not isinstance(study, Exception)
        )
        return (*([] if self.study is None else [self.study]), *built)

    def unbuilt(self) -> dict[str, GeometryError]:
        """Return why systems that aren't shown can't be built, by their titles."""
        tried = {system.title: self._other_end(system) for system in self.systems()}
        return {title: why for title, why in tried.items() if isinstance(why, GeometryError)}

    def _other_end(self, system: System[Any]) -> Study[Any] | GeometryError | None:
        """Return a system's study, short, or why there is none; None for the one that is shown."""
        face, setup = self.faces[system.key], self.shown_setup
        if system is self.system:
            return None
        if face.study is None or face.study.setup != setup:
            try:
                face.study = system.study(setup, short=True)
            except GeometryError as error:
                return error
        return face.study

    def studies(self) -> tuple[Study[Any], ...]:
        """Return the whole studies of every system that the setup gives.

        Raises
        ------
        GeometryError
            The proposal can't be built.
        """
        return tuple(self.study_of(system) for system in self.systems())

    def _whole_study(self, system: System[Any]) -> Study[Any]:
        """Return a system's study with every sweep, which its face may have already."""
        study, setup = self.faces[system.key].study, self.shown_setup
        if study is None or study.setup != setup:
            return system.study(setup)
        return system.whole(study)
