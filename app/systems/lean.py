"""How the body of the car as built leans where one side's holes were put elsewhere. No Qt."""

from __future__ import annotations

from typing import Any

from app.systems.answers import Stance, Study
from app.systems.standing import standing
from geometry.balance import roll_stiffness, shared_lean
from geometry.dataclass import dataclass
from geometry.errors import GeometryError


@dataclass(frozen=True)
class Lean:
    """Where both sides of an end then stand against as found.

    Parameters
    ----------
    apart
        How much lower the right spring stands than the left one under the same load [mm].
    angle
        Of the body [rad], + right side lower.
    rises
        Of the left and the right wheel into the body [mm].
    moved
        Load that goes from the right wheel to the left one [N], 0 where nothing holds the body.
    held_by
        The end whose springs hold the body as well; empty where they aren't known.
    """

    apart: float
    angle: float
    rises: tuple[float, float]
    moved: float
    held_by: str


def lean_of(study: Study[Any], apart: float, base: float) -> Lean | None:
    """Return the lean of an end whose springs settle `apart`, `base` between them [mm]."""
    own = study.proposed.stance
    if own is None:
        return None
    free = apart / base
    angle, held_by = free, ""
    stiffness = float(roll_stiffness(own.roll_rate, own.track))
    for end, stance in _others(study):
        other = float(roll_stiffness(stance.roll_rate, stance.track))
        angle, held_by = float(shared_lean(free, stiffness, other)), end
    middle = study.proposed.stand.travel + apart / 2.0
    across = angle * own.track / 2.0
    moved = stiffness * (free - angle) / own.track
    return Lean(apart, angle, (middle - across, middle + across), moved, held_by)


def _others(study: Study[Any]) -> list[tuple[str, Stance]]:
    """Return how the car's other ends stand, as far as they do and their springs are known."""
    # the table of systems is made of what this module serves
    from app.systems.every import given_systems

    setup, stances = study.setup, []
    for system in given_systems(setup):
        if system.key == study.system.key:
            continue
        try:
            car = system.built(setup, standing(system, setup), system.ranges(setup), short=True)
        except GeometryError:
            continue
        if car.stance is not None:
            stances.append((system.key, car.stance))
    return stances
