"""How the body leans over leaf springs whose right pins were put elsewhere by themselves."""

from __future__ import annotations

from typing import Final

from app.systems.answers import Study
from app.systems.lean import Lean, lean_of
from app.systems.rear.answers import RearAnswers
from geometry.errors import GeometryError
from geometry.leaf.sides import settles_apart

_SEEN: Final = 0.05  # mm by which the sides stand apart for any figure to show it


def rear_lean(study: Study[RearAnswers]) -> Lean | None:
    """Return where both sides stand, None where they stand alike or that isn't known."""
    leaf, found = study.proposed.leaf, study.measured.leaf
    if leaf is None or found is None or (leaf.car.right is None and found.car.right is None):
        return None
    try:
        apart = settles_apart(leaf.car, found.car)
    except GeometryError:
        return None
    if apart is None or abs(apart) < _SEEN:
        return None
    return lean_of(study, apart, leaf.spring_base)
