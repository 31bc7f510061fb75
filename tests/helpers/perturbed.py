"""Setups whose measured numbers are all a little off, as if the car were measured again."""

from __future__ import annotations

import numpy as np

from app.document.model import FrozenMap, Setup

POINT, SHARE = 1.0, 0.01  # mm, and a share of any other number


def measured_again(setup: Setup, count: int, seed: int = 1) -> list[Setup]:
    """The setup as given, and others of the same shape."""
    random = np.random.default_rng(seed)

    def off(value: object) -> object:
        if isinstance(value, tuple) and isinstance(value[0], float):
            return tuple(part + float(random.normal(0.0, POINT)) for part in value)
        if isinstance(value, float):
            return value * (1.0 + float(random.normal(0.0, SHARE)))
        return value

    def again() -> Setup:
        evidence = {
            key: value if "steering.p" in key or "travel" in key else off(value)
            for key, value in setup.evidence.items()
        }
        return setup.having(evidence=FrozenMap(evidence))

    return [setup, *(again() for _ in range(count - 1))]
