"""How the rear is drawn beside its pose: wound up by thrust, or swinging in one of its modes."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class RearDisplay:
    """What is laid over the pose.

    `thrust` is a share of full drive, negative of full braking, 0 for none; `exaggeration` the
    factor on the wind-up's part of the shape. `mode` is an index of `geometry.leaf.hop.MODE_NAMES`
    that swings, None for none, at `phase` [rad].
    """

    thrust: float = 0.0
    exaggeration: float = 3.0
    mode: int | None = None
    phase: float = 0.0
