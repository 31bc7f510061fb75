"""Setups that give one end of a car only."""

from __future__ import annotations

from app.document.edits import tapes_without
from app.document.model import FrozenMap, Setup

PLANS = ("rooms", "adjusters", "aims", "gauge")

__all__ = ["only"]


def only(setup: Setup, axle: str) -> Setup:
    """Return the setup with nothing of the other axle in it."""
    other = "rear." if axle == "front" else "front."
    kept = {
        name: FrozenMap({k: v for k, v in getattr(setup, name).items() if not k.startswith(other)})
        for name in ("readings", "within", "point_notes", "limits", *PLANS)
    }
    tapes = tapes_without(setup, *(setup.readings.keys() - kept["readings"].keys()))
    changes = tuple(
        change
        for change in setup.changes
        if not any(key.startswith(other) for key in (*change.moves, *change.sets))
    )
    evidence = kept.pop("readings")
    spaces = {
        name: tuple(each for each in getattr(setup, name) if each.end == axle)
        for name in ("envelopes", "clearances")
    }
    return setup.having(changes=changes, evidence=evidence, tapes=tapes, **kept, **spaces)
