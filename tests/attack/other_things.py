"""All that a hand can do besides dragging: poses, toggles, undo, values, units, locks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from random import Random

from app.document import edits
from app.document.edits import EditError
from app.document.keys import KEYS
from app.document.model import Leaf, Setup
from app.document.quantities import QUANTITIES
from app.gestures.move_points import MovePoints
from app.gestures.target import with_target
from app.session.session import Session
from app.systems.answers import Pose
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from app.systems.shown import Overlay
from tests.attack.shown import places
from tests.attack.wild import Story


class OtherThings:
    """One thing after the other, by chance, on one session."""

    def __init__(self, session: Session, chance: Random, story: Story) -> None:
        self.session, self.chance, self.story = session, chance, story
        self.points = MovePoints(session)
        self.others: list[Callable[[], None]] = [
            *[self.pose] * 4,
            *[self._undo_or_redo] * 3,
            *[self._toggle] * 3,
            *[self._settle] * 2,
            *[self._set_a_value] * 2,
            self._set_leaves,
            self._other_axle,
            self._other_units,
            self._lock,
            self._select,
            self._nudge,
            self._parts,
            self._change_of_changes,
            self._display,
        ]

    def do(self) -> None:
        """Do one thing."""
        step = self.chance.choice(self.others)
        self.story.tally.steps[step.__name__.strip("_")] += 1
        step()

    def pose(self) -> None:
        """Show another pose, as the strip does: within what is swept."""
        study = self.session.study
        if study is None:
            return
        travel, roll, steer = (
            self.chance.choice((0.0, self.chance.uniform(*run[:2]), run[0], run[1]))
            for run in (study.ranges.travel, study.ranges.roll, study.ranges.steer)
        )
        if self.session.system is REAR:
            steer = 0.0
        self.story.tell(f"pose travel {travel:.1f} roll {roll:.3f} steer {steer:.1f}")
        self.session.set_pose(Pose(travel, roll, steer))

    def _settle(self) -> None:
        self.story.tell("settle over")
        self.session.set_in_body(not self.session.in_body)

    def _undo_or_redo(self) -> None:
        for _ in range(self.chance.choice((1, 1, 3))):
            undo = self.chance.random() < 0.6
            self.story.tell("undo" if undo else "redo")
            (self.session.undo if undo else self.session.redo)()

    def _toggle(self) -> None:
        index = self._a_change()
        if index is not None:
            change = self.session.setup.changes[index]
            self.story.tell(f"switch {change.name!r}")
            self._commit(edits.switch_change(self.session.setup, index, not change.on))

    def _parts(self) -> None:
        index = self._a_change()
        if index is not None:
            self.story.tell("parts or toe")
            made = self.chance.choice(("kept", "made to fit"))
            setup = edits.set_parts(self.session.setup, index, made)  # type: ignore[arg-type]
            toe = self.chance.choice(("reset", "left"))
            self._commit(edits.set_toe(setup, index, toe))  # type: ignore[arg-type]

    def _change_of_changes(self) -> None:
        index = self._a_change()
        if index is not None:
            verb = self.chance.choice((edits.remove_change, edits.duplicate_change))
            self.story.tell(f"{verb.__name__} {index}")
            self._commit(verb(self.session.setup, index))

    def _set_a_value(self) -> None:
        values = self.session.setup.evidence
        free = [
            key
            for key, value in values.items()
            if isinstance(value, float) and KEYS[key].settable and KEYS[key].kind in QUANTITIES
        ]
        if not free:
            return
        key, factor = self.chance.choice(free), self.chance.uniform(0.6, 1.5)
        value = values[key]
        assert isinstance(value, float)
        self.story.tell(f"set {key} {value * factor:.4g}")
        self._set(key, value * factor)

    def _set_leaves(self) -> None:
        leaves = self.session.setup.evidence.get("rear.pack.leaf")
        if not isinstance(leaves, tuple) or not isinstance(leaves[0], Leaf):
            return
        packs = [each for each in leaves if isinstance(each, Leaf)]
        at, factor = self.chance.randrange(len(packs)), self.chance.uniform(0.7, 1.4)
        if len(packs) > 1 and self.chance.random() < 0.4:
            del packs[at]
        else:
            packs[at] = replace(packs[at], thickness=packs[at].thickness * factor)
        self.story.tell(f"set {len(packs)} leaves, {at} times {factor:.2f}")
        self._set("rear.pack.leaf", tuple(packs))

    def _set(self, key: str, value: float | tuple[Leaf, ...]) -> None:
        setup, index = with_target(self.session.setup, self.session.active)
        try:
            self._commit(edits.set_value(setup, index, key, value))
        except EditError:
            return

    def _other_axle(self) -> None:
        self.story.tell("other axle")
        self.session.show(REAR if self.session.system is FRONT else FRONT)

    def _other_units(self) -> None:
        self.story.tell("other units")
        self.session.set_units("in" if self.session.units == "mm" else "mm")

    def _keys(self) -> list[str]:
        return sorted({key for _, key in places(self.session)})

    def _lock(self) -> None:
        for key in self.chance.sample(keys := self._keys(), min(2, len(keys))):
            axes = frozenset(self.chance.sample(range(3), self.chance.randrange(3)))
            self.session.lock(key, axes)

    def _select(self) -> None:
        keys = self._keys()
        self.session.select(tuple(self.chance.sample(keys, min(len(keys), 1 + len(keys) // 5))))

    def _nudge(self) -> None:
        for key in self.chance.sample(keys := self._keys(), min(1, len(keys))):
            delta = self.chance.choice(((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0)))
            self.story.tell(f"nudge {key}")
            self.points.nudge(key, delta, 0.0)

    def _display(self) -> None:
        mode = self.chance.choice((None, 0, 1))
        thrust = self.chance.choice((0.0, 1.0, -1.0, 0.5))
        if self.session.system is REAR:
            self.story.tell(f"show thrust {thrust} mode {mode}")
            self.session.lay_over(Overlay(thrust, 3.0, mode, self.chance.uniform(0.0, 6.0)))

    def _a_change(self) -> int | None:
        count = len(self.session.setup.changes)
        return self.chance.randrange(count) if count else None

    def _commit(self, setup: Setup) -> None:
        self.session.commit(setup, "wild edit")
