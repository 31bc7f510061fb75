"""What mass rests on an end of the car, and what part of it its springs carry."""

from __future__ import annotations

from collections.abc import Callable

from app.document.ends import END, unsprung_key

Number = Callable[[str], float | None]
"""Returns the number under a key, None where it isn't given."""


def mass_on(end: str, number: Number) -> float | None:
    """Return the mass that an end brings on the road [kg], None where it isn't known."""
    mass, front_share = number("car.mass"), number("car.front_share")
    return None if mass is None or front_share is None else mass * END[end].share(front_share)


def sprung_mass_on(end: str, number: Number) -> float | None:
    """Return the mass that an end's springs carry [kg], None where it isn't known."""
    mass, unsprung = mass_on(end, number), number(unsprung_key(end))
    return None if mass is None or unsprung is None else mass - unsprung
