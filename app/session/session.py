"""The one object of truth: the setup and its history, what is selected and shown, the study.

Everything that changes goes through it, and it alone says so. An edit is a new setup: `preview`
shows it while the hand moves, `commit` keeps it as one step, `cancel` goes back.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace
from typing import Any, Final

from PySide6.QtCore import QObject, QTimer, Signal

from app.document.active import followed
from app.document.edits import set_height
from app.document.files import LoadedSetup
from app.document.heights import choice_words
from app.document.history import History
from app.document.model import FrozenMap, HeightChoice, Setup, Units
from app.session.between_frames import in_its_turn
from app.session.faces import Face, last_on, system_to_show
from app.session.open_setup import OpenSetup
from app.session.second_car import SecondCar
from app.systems.answers import Answered, Pose, Study
from app.systems.banded import WHOLE, StudyBands
from app.systems.every import SYSTEMS
from app.systems.shown import Overlay
from app.systems.system import System
from geometry.errors import GeometryError

TRAIL: Final = 40  # ms by which curves and tables may lag a drag
PAUSE: Final = 60  # pause of the mouse in a drag after which the full study is solved [ms]
AXES: Final = (0, 1, 2)


class Session(OpenSetup):
    """The open setup and all that is shown of it."""

    opened = Signal()  # another car is shown
    setup_changed = Signal()  # committed, or previewed (then it may trail); history, title, saved
    study_changed = Signal()  # new results and poses: views and readouts
    curves_changed = Signal()  # new sweeps; during a drag emitted late, and without some of them
    bands_changed = Signal()  # how far results may be off has come, of the study that is shown
    study_completed = Signal()  # a study with every sweep is there: a drag has paused, or ended
    selection_changed = Signal()
    locks_changed = Signal()
    active_changed = Signal()  # the change that a drag adds to
    pose_changed = Signal()  # what the strip shows; study_changed follows
    system_changed = Signal()  # another system is shown; study_changed follows
    units_changed = Signal()
    problem_changed = Signal()  # a geometry that can't be built, or none any more
    said = Signal(str)  # a sentence for the status line

    def __init__(self, setup: Setup, parent: QObject | None = None) -> None:
        super().__init__(setup, parent)
        self._trail = QTimer(self, singleShot=True, interval=TRAIL)
        self._trail.timeout.connect(self._follow_hand)
        self._pause = QTimer(self, singleShot=True, interval=PAUSE)
        self._pause.timeout.connect(self._complete)
        self._painted = QTimer(
            self, singleShot=True, interval=0
        )  # comes after what is to be painted
        self._painted.timeout.connect(self._wait)
        self._announced_setup = setup  # the setup of which setup_changed was last emitted
        self._solve(short=False)
        self.second = SecondCar(self)  # another car laid over this one

    def open(
        self,
        setup: Setup,
        loaded: LoadedSetup | None,
        saved: bool = True,
        faces: dict[str, Face] | None = None,
    ) -> None:
        """Show another setup; `loaded` is its file if it has one, `faces` hold studies of it."""
        self._stop_waiting()
        self.second.take_away()
        self.preview_setup = None
        self.loaded = loaded
        self.history = History.of(setup, saved)
        self.faces = faces or {system.key: Face() for system in SYSTEMS}
        self.selection_changed.emit()
        self.locks = FrozenMap()
        self.locks_changed.emit()
        system = system_to_show(setup, self.system)
        if system is not self.system:
            self.system = system
            self.system_changed.emit()
        self._set_active(last_on(setup, system))
        if setup.units != self.units:
            self.set_units(setup.units)
        self.pose_changed.emit()
        self._tell()
        self._solve(short=False)
        self.opened.emit()

    def saved(self, loaded: LoadedSetup) -> None:
        """Note that the setup is on disk now."""
        self.loaded = loaded
        self.history = self.history.mark_saved()
        self._tell()

    def preview(self, setup: Setup, name: str = "") -> None:
        """Show an edit while it is being made; if it can't be built, the last good study stays.

        One with a name is held by no hand: it stays until it is taken or put away.
        """
        if setup == self.setup:
            return
        begins = self.preview_setup is None or name != self.preview_name
        self.preview_setup, self.preview_name = setup, name
        if begins:
            self._tell()
        self._solve(short=True)
        self._pause.stop()
        self._painted.start()

    def commit(self, setup: Setup, words: str, token: Hashable = None) -> None:
        """Keep an edit as a step of history; steps of one token merge."""
        self.preview_setup = None
        self.history = self.history.push(setup, words, token)
        self._keep_active_valid()
        self._tell()
        self._solve(short=False)

    def cancel(self) -> None:
        """Take a preview back."""
        if self.preview_setup is not None:
            self.preview_setup = None
            self._keep_active_valid()
            self._tell()
            self._solve(short=False)

    def undo(self) -> None:
        """Go one step back."""
        self._travel(self.history.undo(), f"Undone: {self.history.undo_words}.")

    def redo(self) -> None:
        """Go one step forward."""
        self._travel(self.history.redo(), f"Done again: {self.history.redo_words}.")

    def go_to_step(self, index: int) -> None:
        """Go to a step of the history, back or forward."""
        words = self.history.steps[index].words or "As it was opened"
        self._travel(self.history.at(index), f"At the step: {words}.")

    def _travel(self, history: History[Setup], words: str) -> None:
        if self.preview_setup is not None:
            self.cancel()
        elif history.index != self.history.index:
            active = followed(self.setup.changes, history.value.changes, self.active)
            self.history = history
            self._keep_active_valid()
            self._tell()
            self.set_active(active)
            self._solve(short=False)
            self.said.emit(words)

    # What is selected, locked, active

    def select(self, keys: tuple[str, ...], add: bool = False) -> None:
        """Select points; with `add`, toggle whether each is selected."""
        if add:
            kept_keys = tuple(key for key in self.selection if key not in keys)
            keys = (*kept_keys, *(key for key in keys if key not in self.selection))
        if keys != self.selection:
            self.face.selection = keys
            self.selection_changed.emit()

    def lock(self, key: str, axes: frozenset[int]) -> None:
        """Keep axes of a point from being dragged or nudged; none frees it."""
        self.locks = self.locks.having(key, axes) if axes else self.locks.without(key)
        self.locks_changed.emit()

    def set_active(self, index: int | None) -> None:
        """Choose the change that drags add to; None starts a new one with the next drag."""
        if index != self.active:
            self._set_active(index)

    def _set_active(self, index: int | None) -> None:
        self.active = index
        self.active_changed.emit()

    def _keep_active_valid(self) -> None:
        if self.active is not None and self.active >= len(self.setup.changes):
            self._set_active(last_on(self.setup, self.system))

    # What is shown

    def set_pose(self, pose: Pose, moving: bool = False) -> None:
        """Show the car at a travel, roll and steer; `moving` while a slider is held."""
        if pose != self.pose:
            self.face.pose = pose
            self._is_posing = moving
            self.pose_changed.emit()
            self._pose_again()
            self._is_posing = False

    def set_in_body(self, in_body: bool) -> None:
        """Show both cars from one place in the body, or each from where it stands."""
        if in_body != self.in_body:
            self.face.in_body = in_body
            self.pose_changed.emit()
            self._pose_again()
            self.curves_changed.emit()

    def choose_height(self, choice: HeightChoice) -> None:
        """Let the end that is shown settle, or hold it; a step of history, and a drag goes on."""
        if choice != self.height:
            edited, active = self.preview_setup, self.active
            setup = set_height(self.history.value, self.system.key, choice)
            words = choice_words(setup, self.system.key)
            self.commit(setup, f"{self.system.title} {words}")
            if edited is not None:
                self.preview(edited.having(heights=setup.heights))
                self.set_active(active)
            self.pose_changed.emit()

    def lay_over(self, overlay: Overlay) -> None:
        """Draw the axle wound up, or swinging in one of its modes."""
        if overlay != self.overlay:
            self.face.overlay = overlay
            if overlay.is_on:
                self.whole_study()
            self.study_changed.emit()

    def show(self, system: System[Any]) -> None:
        """Show a system; the one shown before stays as it is."""
        if system is not self.system and system in self.systems():
            self._stop_waiting()
            self.system = system
            self.system_changed.emit()
            self.selection_changed.emit()
            self._set_active(last_on(self.setup, system))
            self.pose_changed.emit()
            self._solve(short=False)

    def set_units(self, units: Units) -> None:
        """Show mm or inches; the file keeps its own."""
        if units != self.units:
            self.units = units
            if self.study is not None:
                self._solve(short=False)
            self.units_changed.emit()

    # Solving

    def _solve(self, short: bool) -> None:
        """Study the setup and pose both cars; where that fails, the last good ones stay."""
        try:
            short = short and not self.overlay.is_on  # it shows what a short study lacks
            system, setup = self.system, self.shown_setup
            study = system.study(setup, short=True) if short else self._whole_study(system)
            shown = self.face.posed(study)
        except GeometryError as error:
            self._set_problem(error)
            return
        self._show(replace(study, bands=self.face.bands_beside(self.setup)), *shown)
        if not short:
            self._stop_waiting()
            self.curves_changed.emit()
            self.study_completed.emit()

    def take_bands(self, system: str, setup: Setup, bands: StudyBands | None) -> None:
        """Take how far results of a setup may be off; until newer bands come they stay beside it.

        None are taken where nobody knows any more.
        """
        face = self.faces[system]
        if face.bands is not None and bands is not None:
            bands = face.bands.newer(bands)
        face.bands = bands
        face.bands_of = setup if bands is None or bands.level == WHOLE else None
        if face.study is not None:
            face.study = replace(face.study, bands=face.bands_beside(self.setup))
        if face is self.face and not self._trail.isActive():  # else the curves on their way show it
            in_its_turn(self.bands_changed.emit)

    def _pose_again(self) -> None:
        """Show the study's cars at the pose; behind a problem the study may be an older one."""
        if self.study is None or self.problem is not None:
            self._solve(short=self.preview_setup is not None)
            return
        try:
            shown = self.face.posed(self.study)
        except GeometryError as error:
            self._set_problem(error)
            return
        self._show(self.study, *shown)

    def _show(self, study: Study[Any], measured: Answered | None, proposed: Answered) -> None:
        self.face.show(study, measured, proposed)
        self._set_problem(None)
        self.study_changed.emit()

    def _tell(self) -> None:
        self._announced_setup = self.setup
        self.setup_changed.emit()

    def _stop_waiting(self) -> None:
        for timer in (self._painted, self._trail, self._pause):
            timer.stop()

    def _wait(self) -> None:
        """Begin to wait for a pause: a frame that takes longer than one to paint is none itself."""
        self._pause.start()
        if not self._trail.isActive():
            self._trail.start()

    def _follow_hand(self) -> None:
        """Update tables and curves during a drag one by one, so that frames can come in between."""
        if self._announced_setup is not self.setup:
            in_its_turn(self._tell)
        QTimer.singleShot(0, self, lambda: in_its_turn(self.curves_changed.emit))

    def _complete(self) -> None:
        if self.problem is None and self.study is not None:
            self.whole_study()
            self.study_completed.emit()

    def whole_study(self) -> Study[Any] | None:
        """Return the study that is shown with every sweep, solving those that a drag left out.

        Where they can't be had, as in a roll that a shackle doesn't let the axle take, the study
        stays short and the problem is told.
        """
        if self.study is not None and self.problem is None:
            try:
                self.face.study = self.system.whole(self.study)
            except GeometryError as error:
                self._set_problem(error)
        return self.study

    def _set_problem(self, problem: GeometryError | None) -> None:
        if problem != self.problem:
            self.problem = problem
            self.problem_changed.emit()
