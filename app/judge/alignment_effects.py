"""What a shop asks an alignment first: what one shim, one turn, one millimetre does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

import numpy as np

from app.document.address import Point
from app.document.plans import Adjuster
from app.judge.aligning_cars import Amounts, Knob
from app.judge.alignment import Effect, Per, Where

_MOST_TOLD: Final = 5  # sizes of shims; of more only some are


def tried_effects(
    knobs: Sequence[Knob], adjusters: Mapping[str, Adjuster], has_link: bool
) -> Iterator[tuple[Effect, Amounts]]:
    """Yield what is told of each knob, with no angles yet, and what is turned for it.

    The thinnest shim is also told at both bolts of an arm, which is camber, and taken from the rear
    bolt to the front one, which is caster: so the trade says it. With `has_link` the lower pivots
    are a link's and a strut rod's, no arm's.
    """
    for knob in knobs:
        adjuster = adjusters[knob.adjuster]
        if not adjuster.sizes:
            size = adjuster.pitch or 1.0
            yield (
                _blank(knob, "turn" if adjuster.pitch else "mm", size, "here"),
                {knob.key: size},
            )
            continue
        for size in _told(adjuster.sizes):
            yield _blank(knob, "shim", size, "here"), {knob.key: size}
        pair = pair_of(knobs, knob.adjuster, has_link)
        if pair and knob is [each for each in knobs if each.adjuster == knob.adjuster][-1]:
            front, rear = pair
            thin = min(adjuster.sizes)
            yield _blank(front, "shim", thin, "both"), {each.key: thin for each in pair}
            yield (
                _blank(front, "shim", thin, "to front"),
                {front.key: thin, rear.key: -thin},
            )


def pair_of(knobs: Sequence[Knob], key: str, has_link: bool) -> tuple[Knob, ...]:
    """Return the knobs of the front and the rear bolt of one arm; none where it is no such pair."""
    knobs_by_point = {Point.at(knob.point).name: knob for knob in knobs if knob.adjuster == key}
    for arm in ("upper",) if has_link else ("upper", "lower"):
        names = (f"{arm}_front", f"{arm}_rear")
        if set(knobs_by_point) == set(names):
            return tuple(knobs_by_point[name] for name in names)
    return ()


def _told(sizes: Sequence[float]) -> list[float]:
    """Return the sizes of shims that are told, the thinnest first: all, or some over the range."""
    every = sorted(set(sizes))
    if len(every) <= _MOST_TOLD:
        return every
    places = np.linspace(0, len(every) - 1, _MOST_TOLD).round().astype(int).tolist()
    return [every[place] for place in places]


def _blank(knob: Knob, per: Per, size: float, where: Where) -> Effect:
    return Effect(knob.key, per, size, where, 0.0, 0.0, 0.0)
