"""Wild drags through the session and its gestures, with all else that a hand can do mixed in."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from math import hypot
from random import Random
from typing import Final

from PySide6.QtCore import QCoreApplication

from app.document.files import read_setup
from app.document.model import Setup
from app.drawing.strokes import Grip, Handle, Place
from app.drawing.views import View
from app.gestures.move_points import MovePoints
from app.gestures.pose_car import PoseCar, within
from app.session.session import Session
from app.systems.answers import Pose
from app.systems.every import LIMIT_KINDS
from app.systems.rear.system import REAR
from tests.attack.failures import TooLong, cpu_limit, place_of
from tests.attack.other_things import OtherThings
from tests.attack.shown import (
    Places,
    differs_from_fresh,
    drawings,
    largest_step,
    places,
    wrong_drawing,
    wrong_figures,
    wrong_words,
)
from tests.attack.wild import Story, Tally, watched
from tests.helpers.project import SAMPLE_FILES

CARS: Final = SAMPLE_FILES
SMALL: Final = 0.2  # mm; after such a step nothing may jump
JUMP: Final = 5.0  # mm; what goes further in a small step is looked at more closely
PARTS: Final = 32  # of a step that is looked at more closely
LONGEST: Final = 30.0  # s of CPU time between two drags
STEP_SIZES: Final = (0.05, 0.1, 1.0, 4.0, 15.0, 60.0)  # mm


def wild_run(seed: int, number: int, moves: int) -> Tally:
    """Drag and do all else for a number of moves, then undo it all; the same seed does the same."""
    tally, path = Tally(), CARS[number % len(CARS)]
    story = Story(f"run {seed}/{number} on {path.stem}", tally)
    _application = QCoreApplication.instance() or QCoreApplication([])  # timers need one
    session = Session(read_setup(path, limit_kinds=LIMIT_KINDS).setup)
    if number // len(CARS) % 2:
        session.show(REAR)
    run = WildRun(session, Random(f"{seed}/{number}"), story)
    with watched(story):
        try:
            run.go(moves)
        except (Exception, TooLong) as error:
            story.fail(place_of(error))
    return tally


class WildRun:
    """A hand that knows no measure, on one session."""

    def __init__(self, session: Session, chance: Random, story: Story) -> None:
        self.session, self.chance, self.story = session, chance, story
        self.tally = story.tally
        self.points, self.car = MovePoints(session), PoseCar(session)
        self.others = OtherThings(session, chance, story)

    def go(self, moves: int) -> None:
        """Do it, and take it back."""
        start = self.session.setup
        while self.tally.moves < moves:
            with cpu_limit(LONGEST):
                for _ in range(self.chance.randrange(4)):
                    self.others.do()
                    self._judge(whole=True)
                self._drag()
                if self.chance.random() < 0.1:
                    self._turn_the_pose_a_little()
            QCoreApplication.processEvents()
        self._take_all_back(start)

    def _drag(self) -> None:
        view = self.chance.choice(list(View))
        strokes = drawings(self.session)[view].strokes if self.session.study else ()
        grips = [stroke for stroke in strokes if isinstance(stroke, Grip)]
        handles = [stroke for stroke in strokes if isinstance(stroke, Handle)]
        self.tally.drags += 1
        if grips and self.chance.random() < 0.25:
            self._drag_car(self.chance.choice(grips), view)
        elif handles:
            self._drag_point(self.chance.choice(handles), view)

    def _drag_point(self, handle: Handle, view: View) -> None:
        self.story.tell(f"drag {handle.key} in {view.name}")
        self.points.begin(handle.key, handle.at, view)
        last, was_exact = handle.at, False
        for place in self._walk(handle.at):
            free, one = self.chance.random() < 0.8, self.chance.random() < 0.05
            exact = free and not one  # what is snapped may step further than the hand
            was = Before(self.session, _step(last, place) if exact and was_exact else None)
            self.points.move(place, one, free)
            if self.session.problem is not None and self.session.proposed is not was.proposed:
                self.story.fail("a move that can't be built takes the last good picture away")
            self._judge_move(was, partial(self._move_between, last, place))
            last, was_exact = place, exact
        self._end(self.points, handle.at, last)

    def _drag_car(self, grip: Grip, view: View) -> None:
        self.story.tell(f"drag {grip.key} in {view.name}")
        last = start = (float(grip.outline[0][0]), float(grip.outline[0][1]))
        self.car.begin(grip.key, start, view)
        for place in self._walk(start):
            was = Before(self.session, _step(last, place))
            self.car.move(place)
            self._judge_move(was, partial(self._pose_between, last, place))
            last = place
        self._end(self.car, start, last)

    def _walk(self, place: Place) -> Iterator[Place]:
        """Yield places of a hand, its steps of one size and roughly in one direction."""
        size, du, dv = self.chance.choice(STEP_SIZES), self._any(1.0), self._any(1.0)
        for _ in range(self.chance.choice((2, 8, 20))):
            step = (du + self._any(0.3)) * size, (dv + self._any(0.3)) * size
            place = place[0] + step[0], place[1] + step[1]
            self.tally.moves += 1
            yield place
            if self.chance.random() < 0.03:
                size, du, dv = self.chance.choice(STEP_SIZES), -du, -dv

    # The same move again, part of the way: 0 is before it, 1 after it

    def _move_between(self, last: Place, place: Place, share: float) -> None:
        self.points.move(_between(last, place, share), False, True)

    def _pose_between(self, last: Place, place: Place, share: float) -> None:
        self.car.move(_between(last, place, share))

    def _play_between(self, before: Pose, after: Pose, which: str, share: float) -> None:
        start, end = getattr(before, which), getattr(after, which)
        pose = replace(after, **{which: start + (end - start) * share})
        self.session.set_pose(pose, moving=True)

    def _any(self, most: float) -> float:
        return self.chance.uniform(-most, most)

    def _end(self, gesture: MovePoints | PoseCar, start: Place, end: Place) -> None:
        self.story.tell(f"by {end[0] - start[0]:.2f}, {end[1] - start[1]:.2f}")
        if self.chance.random() < 0.25:
            self.story.tell("cancel")
            gesture.cancel()
        else:
            gesture.commit()
        self._judge(whole=True)

    def _turn_the_pose_a_little(self) -> None:
        """Play through poses in small steps: nothing may jump."""
        which, step = self.chance.choice((("travel", SMALL), ("roll", 0.0003)))
        self.story.tell(f"play {which} in small steps")
        for _ in range(10):
            before = self.session.pose
            pose = replace(before, **{which: getattr(before, which) + step})
            pose = within(self.session, pose)
            # Level, each wheel has the travel; leaning, their mean has: of unlike wheels, of which
            # steered ones are some, these are two definitions.
            is_one = (before.roll == 0.0) == (pose.roll == 0.0)
            was = Before(self.session, SMALL if is_one else None)
            self.session.set_pose(pose, moving=True)
            self._judge_move(was, partial(self._play_between, before, pose, which))

    def _take_all_back(self, start: Setup) -> None:
        """Undo to the start: the setup is the same, and its study that of the setup solved anew."""
        session = self.session
        self.story.tell("undo all the way")
        end = session.history.value
        steps = 0
        while session.history.undo_words:
            session.undo()
            steps += 1
        if session.history.value != start:
            self.story.fail("undo all the way leaves another setup")
        if session.problem is not None:  # that of a pose in which another car could be
            session.set_pose(Pose())
        self._judge_study()
        for _ in range(steps):
            session.redo()
        if session.history.value != end:
            self.story.fail("redo all the way leaves another setup")
        if session.problem is None:
            self._judge_study()
        self.tally.undone += 1

    # Judging

    def _judge_study(self) -> None:
        for failure in differs_from_fresh(self.session):
            self.story.fail(failure)

    def _judge_move(self, was: Before, again: Callable[[float], None]) -> None:
        """Judge a move: after a small one nothing may have jumped; `again` does it in part."""
        session = self.session
        if session.problem is not None:
            self.tally.refused += 1
        elif was.places and is_good(session) and was.settled == knows_settled(session):
            step, key = largest_step(was.places, places(session))
            self.tally.compared += 1
            self.tally.largest = max(self.tally.largest, step)
            if step > JUMP and self._jumps(step, again):
                self.story.fail(f"a jump: {key} goes {step:.1f} mm in a step of {was.hand} mm")
        self._judge(whole=self.chance.random() < 0.05)

    def _jumps(self, whole: float, again: Callable[[float], None]) -> bool:
        """Tell whether what went far in a small step went at once.

        Near the end of its reach a linkage goes as the square root of what is left: in parts of
        the step it goes in parts, the first of 32 with 18 % of it. What jumps does so in one.
        """
        again(0.0)
        last, largest = places(self.session), 0.0
        for part in range(1, PARTS + 1):
            again(part / PARTS)
            if is_good(self.session):
                now = places(self.session)
                largest, last = max(largest, largest_step(last, now)[0]), now
        return largest > 0.5 * whole

    def _judge(self, whole: bool) -> None:
        """Judge what is shown now; words and the whole drawing not every time."""
        wrong = [*wrong_figures(self.session)]
        if whole:
            wrong += [*wrong_drawing(self.session), *wrong_words(self.session)]
        for failure in wrong:
            self.story.fail(failure)


class Before:
    """What was shown before a move; where everything stood, if the hand moves little [mm]."""

    def __init__(self, session: Session, hand: float | None) -> None:
        self.hand = hand
        self.proposed = session.proposed
        self.settled = knows_settled(session)
        small = hand is not None and hand <= SMALL and is_good(session)
        self.places: Places = places(session) if small else {}


def is_good(session: Session) -> bool:
    """Tell whether the shown proposal can be built and takes the shown pose."""
    proposed = session.proposed
    return session.problem is None and proposed is not None and bool(proposed.reached[0])


def knows_settled(session: Session) -> bool:
    """Tell whether the proposal is shown at a height of its own."""
    study = session.study
    return study is not None and not study.proposed.stand.is_as_measured


def _between(last: Place, place: Place, share: float) -> Place:
    return last[0] + (place[0] - last[0]) * share, last[1] + (place[1] - last[1]) * share


def _step(last: Place, place: Place) -> float:
    return hypot(place[0] - last[0], place[1] - last[1])
