"""Results drawn along scripted paths: no kick, no flip, no hysteresis, back to where they began."""

from __future__ import annotations

from random import Random
from typing import Any, Final

import numpy as np

from app.document.files import read_setup
from app.document.model import Change, FrozenMap, Setup
from app.document.moves import is_there
from app.document.plans import Room
from app.judge.drawn import DrawError, Drawing, Drawn
from app.systems.answers import Pose
from app.systems.every import LIMIT_KINDS, SYSTEMS
from app.systems.limits import limit_checks
from app.systems.system import System
from geometry.catalogue.front import JOINTS
from tests.attack.drags import CARS
from tests.attack.wild import Story, Tally

STEPS: Final = 24  # from the start to where the results end, each way
BEYOND: Final = 1.15  # of that, so far the hand goes
PARTS: Final = 16  # of a wide step that is looked at more closely
WIDE: Final = 0.08  # of the room: a step from which one is looked at
LEAP: Final = 0.55  # of a wide step that its widest part may be; at an end of reach it is a quarter
SAME: Final = 1e-6  # mm, or a value's own unit
REACH: Final = 4096.0  # in what counts as near: so far a hand tries to go
NEAR: Final = 0.05  # of that, by which a result may miss what is drawn to under the hand
SETTLED: Final = 1e-3  # the same once it is let go
CENTRE: Final = ("instant_centre_y", "instant_centre_z")


def drawn_run(seed: int, number: int) -> Tally:
    """Draw one result of a car with rooms by chance along a path; the same seed does the same."""
    tally, path = Tally(), CARS[number % len(CARS)]
    chance = Random(f"{seed}/{number}")
    setup = read_setup(path, limit_kinds=LIMIT_KINDS).setup
    system = SYSTEMS[number // len(CARS) % len(SYSTEMS)]
    if not any(key.startswith(f"{system.key}.") for key in setup.readings):
        return tally
    story = Story(f"run {seed}/{number} on {path.stem}, {system.key}", tally)
    run = DrawnRun(system, *_roomy(setup, system, chance), story)
    run.draw(_chosen(run, chance))
    return tally


class DrawnRun:
    """Results of one system of a car with room, drawn one after the other."""

    def __init__(self, system: System[Any], setup: Setup, index: int, story: Story) -> None:
        self.system, self.setup, self.index, self.story = system, setup, index, story
        checks = limit_checks(system.study(setup))
        self.kept = {check.result.key for check in checks if check.held}

    def draw(self, drawn: Drawn) -> None:
        """Draw a result there and back on both sides of its start."""
        self.story.tell(
            f"{' and '.join(drawn.keys)} at {drawn.pose.travel:.0f} mm of {self.setup.rooms}"
        )
        try:
            drawing = Drawing(self.setup, self.index, drawn, {})
        except DrawError:
            self.story.tally.refused += 1
            return
        values = self._path(drawing)
        drew = [drawing.at(value) for value in values]
        if len(drawn.keys) > 1:  # those that can't be had together, the hand leaves where they are
            values = [value for value, each in zip(values, drew, strict=True) if not each.stuck]
            drew = [each for each in drew if not each.stuck]
        moves = np.array([each.moves for each in drew])
        self._judge_steps(drawing, values, moves)
        self._judge_way(drawn, values, moves)
        self._judge_values(drawing, values)

    def _path(self, drawing: Drawing) -> list[tuple[float, ...]]:
        """Return values from beyond one end of reach to beyond the other one, through the start."""
        start, scale = np.array(drawing.start), drawing.scales
        lows, highs = [], []
        for way, ends in ((-1.0, lows), (1.0, highs)):
            far = np.array(drawing.at(tuple(start + way * REACH * scale)).values)
            reach = min(float(np.abs(far - start).max()), float(REACH * scale.max()))
            steps = np.linspace(0.0, BEYOND * max(reach, float(scale.max())), STEPS + 1)[1:]
            ends += [tuple((start + way * step).tolist()) for step in steps]
        return [*reversed(lows), drawing.start, *highs]

    def _judge_steps(self, drawing: Drawing, values: list[tuple[float, ...]], moves: Any) -> None:
        """Judge each wide step: cut in parts, no part may be most of it."""
        for place, step in enumerate(_shares(drawing, moves)):
            self.story.tally.moves += 1
            if step < WIDE:
                continue
            self.story.tally.compared += 1
            one, other = (np.array(values[place + n]) for n in (0, 1))
            between = [tuple(one + (other - one) * n / PARTS) for n in range(PARTS + 1)]
            parts = _shares(drawing, np.array([drawing.at(value).moves for value in between]))
            if parts.max() > LEAP * step or parts.sum() > 3.0 * step + WIDE:
                words = f"a leap of {parts.max():.3f} of {step:.3f} rooms"
                self.story.tell(f"{values[place]} to {values[place + 1]}")
                self.story.fail(words)

    def _judge_way(self, drawn: Drawn, values: list[tuple[float, ...]], moves: Any) -> None:
        """Judge that another way, begun anew, leads to the same places, and back to the start."""
        again = Drawing(self.setup, self.index, drawn, {})
        for place in (*range(0, len(values), 7), *reversed(range(3, len(values), 7))):
            off = np.abs(np.subtract(again.at(values[place]).moves, moves[place])).max()
            if off > SAME:
                self.story.fail(f"hysteresis of {off:.2g} mm")
        if any(again.at(again.start).moves) or again.at(again.start).setup != self.setup:
            self.story.fail("back at the start isn't the start")

    def _judge_values(self, drawing: Drawing, values: list[tuple[float, ...]]) -> None:
        """Judge that what doesn't stick is where it was drawn to, and stays there when let go."""
        for value in values[::9]:
            for how, near in ((drawing.at, NEAR), (drawing.settled, SETTLED)):
                drew = how(value)
                if len(value) > 1 and (drew.stuck or not drawing.goes_anywhere):
                    continue
                car = Drawing(drew.setup, self.index, drawing.drawn, {})
                missed = float(np.abs(np.subtract(car.start, drew.values) / drawing.scales).max())
                if missed > near:
                    words = f"{how.__name__}: is off what it says it has come to by {missed:.2g}"
                    self.story.fail(words)
            checks = limit_checks(self.system.study(drawing.settled(value).setup))
            for check in checks:
                if check.held is False and check.result.key in self.kept:
                    self.story.fail(f"passes the limit of {check.result.key}")


def _shares(drawing: Drawing, moves: Any) -> Any:
    """Return how far each step goes, in shares of the room."""
    return np.abs(np.diff(moves, axis=0) / drawing.widths).max(axis=1)


def _roomy(setup: Setup, system: System[Any], chance: Random) -> tuple[Setup, int]:
    """Return the setup with room for some points by chance and a change that takes the moves."""
    keys = [
        key
        for key in setup.readings
        if key.startswith(f"{system.key}.")
        and isinstance(setup.readings[key], tuple)
        and len(setup.readings[key]) == 3
        and is_there(setup, key)
        and ".right." not in key
        and not system.fixed_because(setup, key)
    ]
    rooms: dict[str, Room] = {}
    for key in chance.sample(keys, k=min(len(keys), chance.choice((1, 2, 2, 3)))):
        axes = chance.sample("xyz", k=chance.choice((1, 1, 2)))
        size = chance.choice((4.0, 10.0, 25.0))
        rooms[key] = Room(
            **{
                axis: (-size * chance.uniform(0.2, 1.0), size * chance.uniform(0.2, 1.0))
                for axis in axes
            }
        )
    limits = setup.limits if chance.random() < 0.5 else FrozenMap()
    setup = setup.having(
        limits=limits, rooms=FrozenMap(rooms), changes=(*setup.changes, Change("Drawn"))
    )
    return setup, len(setup.changes) - 1


def _chosen(run: DrawnRun, chance: Random) -> Drawn:
    """Return a result by chance: what marks and curves show more often than others."""
    study = run.system.study(run.setup)
    results = [each for each in study.results if each.group != JOINTS]
    if chance.random() < 0.15 and all(any(r.key == key for r in results) for key in CENTRE):
        return Drawn(run.system.key, CENTRE)
    first = [each for each in results if each.first or each.plotted]
    result = chance.choice(first if chance.random() < 0.7 else results)
    travel = chance.choice((0.0, 0.0, 25.0, -20.0)) if result.scope != "car" else 0.0
    return Drawn(run.system.key, (result.key,), 0, Pose(travel=travel))
