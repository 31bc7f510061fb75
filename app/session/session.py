"""The one object of truth: the setup and its history, what is selected and shown, the study.

Everything that changes goes through it, and it alone says so. An edit is a new setup: `preview`
shows it while the hand moves, `commit` keeps it as one step, `cancel` goes back.
"""

from __future__ import annotations

from collections.abc import Hashable
from pathlib import Path
from typing import Final, Literal

from PySide6.QtCore import QLocale, QObject, QTimer, Signal

from app.document.active import followed
from app.document.files import LoadedSetup
from app.document.history import History
from app.document.model import FrozenMap, Setup, Units
from app.session.between_frames import in_its_turn
from app.systems.front.study import Pose, Study, complete, has_front, study
from app.systems.pose import AnySweep, posed_cars
from app.systems.rear.answers import RearStudy, has_rear
from app.systems.rear.display import RearDisplay
from app.words.errors import geometry_words
from geometry.errors import GeometryError

TRAIL: Final = 40  # ms by which curves and tables may lag a drag
PAUSE: Final = 60  # ms after which a hand that lies still gets what takes longer
AXES: Final = (0, 1, 2)

Axle = Literal["front", "rear"]
AnyStudy = Study | RearStudy


class Session(QObject):
    """The open setup and all that is shown of it."""

    setup_changed = Signal()  # committed, or previewed (then it may trail); history, title, saved
    study_changed = Signal()  # new results and poses: views and readouts
    curves_changed = Signal()  # new sweeps; while a hand moves points it trails, and some lack
    study_completed = Signal()  # a study with every sweep is there: a drag has paused, or ended
    selection_changed = Signal()
    locks_changed = Signal()
    active_changed = Signal()  # the change that a drag adds to
    pose_changed = Signal()  # what the strip shows; study_changed follows
    axle_changed = Signal()  # front or rear is shown; study_changed follows
    units_changed = Signal()
    problem_changed = Signal()  # a geometry that can't be built, or none any more
    said = Signal(str)  # a sentence for the status line

    def __init__(self, setup: Setup, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.history: History[Setup] = History.of(setup)
        self.loaded: LoadedSetup | None = None
        self.preview_setup: Setup | None = None
        self.units: Units = setup.units
        self.selection: tuple[str, ...] = ()
        self.locks: FrozenMap[frozenset[int]] = FrozenMap()
        self.active: int | None = _last_on(setup, _axle_of(setup, "front"))
        self.pose = Pose()
        self.settles = False
        self.rear_display = RearDisplay()
        self.problem: GeometryError | None = None
        self.axle: Axle = _axle_of(setup, "front")
        self.study: AnyStudy | None = None
        self.measured: AnySweep | None = None
        self.proposed: AnySweep | None = None
        self._trail = QTimer(self, singleShot=True, interval=TRAIL)
        self._trail.timeout.connect(self._follow_hand)
        self._pause = QTimer(self, singleShot=True, interval=PAUSE)
        self._pause.timeout.connect(self._complete)
        self._told = setup  # the setup of which setup_changed was last emitted
        self._solve(short=False)

    # The setup

    @property
    def setup(self) -> Setup:
        """The setup as it is now, a preview included."""
        return self.preview_setup or self.history.value

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

    def open(self, setup: Setup, loaded: LoadedSetup | None, saved: bool = True) -> None:
        """Show another setup; `loaded` is its file, if it has one."""
        self._trail.stop()
        self.preview_setup = None
        self.loaded = loaded
        self.history = History.of(setup, saved)
        self.study = self.measured = self.proposed = None
        self.select(())
        self.locks = FrozenMap()
        self.locks_changed.emit()
        self.pose, self.settles = Pose(), False
        self.rear_display = RearDisplay()
        axle = _axle_of(setup, self.axle)
        if axle != self.axle:
            self.axle = axle
            self.axle_changed.emit()
        self._set_active(_last_on(setup, axle))
        if setup.units != self.units:
            self.set_units(setup.units)
        self.pose_changed.emit()
        self._tell()
        self._solve(short=False)

    def saved(self, loaded: LoadedSetup) -> None:
        """Note that the setup is on disk now."""
        self.loaded = loaded
        self.history = self.history.mark_saved()
        self._tell()

    def preview(self, setup: Setup) -> None:
        """Show an edit while it is being made; what can't be built leaves the last good study."""
        if setup == self.setup:
            return
        begins, self.preview_setup = self.preview_setup is None, setup
        if begins:
            self._tell()
        self._solve(short=True)
        self._pause.start()
        if not self._trail.isActive():
            self._trail.start()

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
        """Select points; with `add`, turn each one's selection over."""
        if add:
            kept = tuple(key for key in self.selection if key not in keys)
            keys = (*kept, *(key for key in keys if key not in self.selection))
        if keys != self.selection:
            self.selection = keys
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
            self._set_active(_last_on(self.setup, self.axle))

    # What is shown

    def set_pose(self, pose: Pose, moving: bool = False) -> None:
        """Show the car at a travel, roll and steer; `moving` while a slider is held."""
        if pose != self.pose:
            self.pose = pose
            self.pose_changed.emit()
            self._pose_again()

    def set_settles(self, settles: bool) -> None:
        """Show the proposal where the same springs carry the same load, or as drawn."""
        if settles != self.settles:
            self.settles = settles
            self.pose_changed.emit()
            self._pose_again()

    def show_rear(self, display: RearDisplay) -> None:
        """Draw the rear wound up, or swinging in one of its modes."""
        if display != self.rear_display:
            self.rear_display = display
            self.study_changed.emit()

    def axles(self) -> tuple[Axle, ...]:
        """Return which axles the setup gives."""
        setup = self.setup
        given: list[Axle] = ["front"] if has_front(setup) else []
        return (*given, "rear") if has_rear(setup) else tuple(given)

    def show_axle(self, axle: Axle) -> None:
        """Show the front or the rear."""
        if axle != self.axle and axle in self.axles():
            self._trail.stop()
            self.axle = axle
            self.study = self.measured = self.proposed = None
            self.select(())
            self.pose, self.settles = Pose(), False
            self.rear_display = RearDisplay()
            self.axle_changed.emit()
            self._set_active(_last_on(self.setup, axle))
            self.pose_changed.emit()
            self._solve(short=False)

    @property
    def problem_words(self) -> str:
        """What is wrong with the proposal, in the units that are shown; empty where nothing is."""
        if self.problem is None:
            return ""
        return geometry_words(self.problem, self.units, QLocale().decimalPoint())

    def front_study(self) -> Study | None:
        """Return the whole study of the front, whichever axle is shown; None without a front.

        Raises
        ------
        GeometryError
            The proposal can't be built.
        """
        return study(self.shown_setup) if has_front(self.setup) else None

    def rear_study(self) -> RearStudy | None:
        """Return the study of the rear, whichever axle is shown; None without a rear.

        Raises
        ------
        GeometryError
            The proposal can't be built.
        """
        return _study_rear(self.shown_setup) if has_rear(self.setup) else None

    def set_units(self, units: Units) -> None:
        """Show mm or inches; the file keeps its own."""
        if units != self.units:
            self.units = units
            if self.study is not None:
                self._solve(short=False)
            self.units_changed.emit()

    def settled_travel(self) -> float | None:
        """Return how far the proposal settles [mm], None where that isn't known."""
        return self.study.proposed.single.get("settled_travel") if self.study else None

    # Solving

    def _solve(self, short: bool) -> None:
        """Study the setup and pose both cars; where that can't be, the last good ones stay."""
        try:
            found = self._studied(short)
            shown = posed_cars(found, self.pose, self.settles)
        except GeometryError as error:
            self._set_problem(error)
            return
        self.study = found
        self._show(*shown)
        if not short:
            self._trail.stop()
            self._pause.stop()
            self.curves_changed.emit()
            self.study_completed.emit()

    def _pose_again(self) -> None:
        """Show the study's cars at the pose; behind a problem the study may be an older one."""
        if self.study is None or self.problem is not None:
            self._solve(short=self.preview_setup is not None)
            return
        try:
            shown = posed_cars(self.study, self.pose, self.settles)
        except GeometryError as error:
            self._set_problem(error)
            return
        self._show(*shown)

    def _show(self, measured: AnySweep | None, proposed: AnySweep) -> None:
        self.measured, self.proposed = measured, proposed
        self._set_problem(None)
        self.study_changed.emit()

    def _tell(self) -> None:
        self._told = self.setup
        self.setup_changed.emit()

    def _follow_hand(self) -> None:
        """Let tables and curves follow a drag, one after the other: a frame may come between."""
        if self._told is not self.setup:
            in_its_turn(self._tell)
        QTimer.singleShot(0, self, lambda: in_its_turn(self.curves_changed.emit))

    def _studied(self, short: bool) -> AnyStudy:
        if self.axle == "rear":
            return _study_rear(self.shown_setup)
        return study(self.shown_setup, short=short)

    def _complete(self) -> None:
        if self.problem is None and self.study is not None:
            if isinstance(self.study, Study):
                self.study = complete(self.study)
            self.study_completed.emit()

    def whole_study(self) -> AnyStudy | None:
        """Return the study with every sweep, solving those that a drag left out."""
        if isinstance(self.study, Study):
            self.study = complete(self.study)
        return self.study

    def _set_problem(self, problem: GeometryError | None) -> None:
        if str(problem) != str(self.problem):
            self.problem = problem
            self.problem_changed.emit()


def solve_measured(setup: Setup) -> None:
    """Solve what was measured, to know that it can be shown.

    Raises
    ------
    GeometryError
        The measured points can't be a car.
    """
    measured = setup.having(changes=())
    if has_front(measured):
        study(measured)
    if has_rear(measured):
        _study_rear(measured)


def _study_rear(setup: Setup) -> RearStudy:
    """Solve the rear; what that takes is only loaded where there is one to be shown."""
    from app.systems.rear.study import study_rear

    return study_rear(setup)


def _axle_of(setup: Setup, wanted: Axle) -> Axle:
    """Return the axle to show: the one wanted where the setup gives it."""
    if wanted == "rear":
        return "rear" if has_rear(setup) else "front"
    return "front" if has_front(setup) or not has_rear(setup) else "rear"


def _last_on(setup: Setup, axle: Axle) -> int | None:
    """Return the last change that is on and of this end: the one a drag goes on with."""
    on = [
        index
        for index, change in enumerate(setup.changes)
        if change.on and any(key.startswith(f"{axle}.") for key in (*change.moves, *change.sets))
    ]
    return on[-1] if on else None
