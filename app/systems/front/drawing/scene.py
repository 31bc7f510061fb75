"""What the strokes of a front are made from: the study, the poses shown, and how they are shown."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property, lru_cache
from typing import cast

from app.document.model import Setup
from app.document.moves import (
    proposed_settings,
    right_moves_of_their_own,
    total_moves_of_side,
)
from app.drawing.space import Vec
from app.systems.clearance.drawing import Spaces, spaces_of
from app.systems.drawing.wheel import TYRE_WIDTH
from app.systems.front.envelopes import FrontPlacing
from app.systems.front.places import Places, Side, places_of
from app.systems.front.study import FrontAnswers
from app.systems.shown import Options, Shown
from app.words.drawings import DrawingWords
from geometry.dataclass import dataclass
from geometry.front.axle import Front
from geometry.front.sweeps import Sweep


@dataclass(frozen=True)
class Scene:
    """The car's places in the poses shown; the same for every view."""

    shown: Shown[FrontAnswers, Sweep]
    options: Options
    setup: Setup
    words: DrawingWords
    now: Places
    was: Places | None  # the measured car, where it differs
    moves: Mapping[str, Vec]  # of left-hand points, by bare name
    own_moves: Mapping[str, Vec]  # of right-hand points that aren't the left ones' mirror
    tyre_width: float
    spaces: Spaces | None = None  # envelopes of parts, where the file gives any

    @property
    def told(self) -> Side:
        """The side whose figures stand on the drawing."""
        return self.now.right if self.options.side else self.now.left

    @cached_property
    def whose(self) -> str:
        """Which side's figures they are, where both aren't alike or the right is asked for."""
        if self.options.side:
            return ", right"
        own = any(key.startswith("front.right.") for key in self.setup.evidence)
        return ", left" if own or self.own_moves else ""

    @property
    def values(self) -> Sweep:
        """The proposed pose's results."""
        return self.shown.proposed


class _Posed:
    """A measured car in a pose, told from others by its sweep: a drag leaves it as it is."""

    def __init__(self, setup: Setup, front: Front, sweep: Sweep) -> None:
        self.setup, self.front, self.sweep = setup, front, sweep

    def __hash__(self) -> int:
        return id(self.sweep)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Posed) and other.sweep is self.sweep


@lru_cache(maxsize=2)
def _ghost(posed: _Posed) -> Places:
    return places_of(posed.setup, posed.front, posed.sweep, False)


def scene_of(shown: Shown[FrontAnswers, Sweep], options: Options) -> Scene:
    """Return what all views of a front share."""
    study, setup = shown.study, shown.study.setup
    measured, was = shown.measured, None
    if measured is not None and study.changed and measured is not shown.proposed:
        was = _ghost(_Posed(setup, study.measured.front, measured))
    width = proposed_settings(setup).get("front.tyre_width", TYRE_WIDTH)
    return Scene(
        shown,
        options,
        setup,
        DrawingWords(setup.units, options.decimal),
        places_of(setup, study.proposed.front, shown.proposed, True),
        was,
        total_moves_of_side(setup, "front", "left"),
        right_moves_of_their_own(setup, "front"),
        float(cast(float, width)),
        _spaces(shown, options),
    )


def _spaces(shown: Shown[FrontAnswers, Sweep], options: Options) -> Spaces | None:
    study, sweep = shown.study, shown.proposed
    if not study.setup.envelopes and not study.setup.clearances:
        return None
    front, changed = study.proposed.front, study.changed
    placing = FrontPlacing(study.setup, front, sweep.poses, changed)
    return spaces_of(study, placing, options.side)
