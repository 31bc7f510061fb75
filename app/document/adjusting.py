"""The points that agree best with all that was read: coordinates, and tapes between them."""

from __future__ import annotations

from app.document.model import FrozenMap, Setup, Value, frozen


def adjusted_evidence(setup: Setup) -> FrozenMap[Value]:
    """Return a setup's readings with the points adjusted by its tapes."""
    return frozen(setup.readings)
