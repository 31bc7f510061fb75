"""What the strokes of a rear are made from: the study, the poses shown, and how they are shown."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from app.document.keys import KEYS
from app.document.model import Setup, Value
from app.document.moves import (
    proposed_settings,
    right_moves_of_their_own,
    total_moves_of_side,
)
from app.drawing.space import Vec
from app.systems.clearance.drawing import Spaces, spaces_of
from app.systems.drawing.wheel import TYRE_WIDTH
from app.systems.rear.answers import RearAnswers, RearSweep
from app.systems.rear.envelopes import RearPlacing
from app.systems.rear.places import RearPlaces, places_of
from app.systems.shown import Options, Shown
from app.words.drawings import DrawingWords
from geometry.dataclass import dataclass


@dataclass(frozen=True)
class RearScene:
    """The rear's places in the poses shown; the same for every view.

    `moves` are those of left-hand points by bare name, `own_moves` of right-hand ones that stand
    elsewhere than the left one's mirror.
    """

    shown: Shown[RearAnswers, RearSweep]
    options: Options
    setup: Setup
    values: Mapping[str, Value]
    words: DrawingWords
    now: RearPlaces
    was: RearPlaces | None
    moves: Mapping[str, Vec]
    own_moves: Mapping[str, Vec]
    tyre_width: float
    spaces: Spaces | None = None  # envelopes of parts, where the file gives any

    @property
    def car(self) -> RearAnswers:
        """The car that is drawn."""
        return self.shown.study.proposed

    @property
    def before(self) -> RearAnswers:
        """The measured car."""
        return self.shown.study.measured

    @property
    def same_kind(self) -> bool:
        """Whether the measured car has the same kind of axle."""
        return self.before.kind == self.car.kind

    def fits(self, key: str) -> bool:
        """Tell whether a point belongs to the kind of axle that is drawn."""
        return self.car.kind in KEYS[key].fits

    def number(self, key: str) -> float | None:
        """Return a plain value of the proposed car."""
        value = self.values.get(key)
        return float(value) if isinstance(value, int | float) else None

    def result(self, key: str, sweep: RearSweep | None = None) -> float | None:
        """Return a result of the pose, or of the car; None where it doesn't exist."""
        values = (sweep or self.shown.proposed).values.get(key)
        value = self.car.single.get(key) if values is None else float(values[0])
        return value if value is not None and value - value == 0.0 else None


def rear_scene_of(shown: Shown[RearAnswers, RearSweep], options: Options) -> RearScene:
    """Return what all views of a rear share."""
    study, setup = shown.study, shown.study.setup
    measured, was = shown.measured, None
    same_kind = study.measured.kind == study.proposed.kind
    if measured is not None and study.changed and measured is not shown.proposed:
        was = (
            places_of(setup, study.measured, measured, False)
            if same_kind or options.compare
            else None
        )
    values = proposed_settings(setup)
    width = values.get("rear.tyre_width", values.get("front.tyre_width", TYRE_WIDTH))
    return RearScene(
        shown,
        options,
        setup,
        values,
        DrawingWords(setup.units, options.decimal),
        places_of(setup, study.proposed, shown.proposed, True),
        was,
        total_moves_of_side(setup, "rear", "left"),
        right_moves_of_their_own(setup, "rear"),
        float(cast(float, width)),
        _spaces(shown, options),
    )


def _spaces(shown: Shown[RearAnswers, RearSweep], options: Options) -> Spaces | None:
    study, sweep = shown.study, shown.proposed
    if not study.setup.envelopes and not study.setup.clearances:
        return None
    at = sweep if sweep.reached[0] else study.proposed.rest
    links = None if at.links is None else at.links.poses
    placing = RearPlacing(study.setup, study.proposed, (at.leaf, links, at.reached), study.changed)
    return spaces_of(study, placing, options.side)
