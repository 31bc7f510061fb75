"""The table of all systems of the car, which every other room uses to find one."""

from __future__ import annotations

from typing import Any, Final

from app.document.ends import end_of, key_in
from app.document.model import Setup
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from app.systems.system import System

SYSTEMS: Final[tuple[System[Any], ...]] = (FRONT, REAR)
LIMIT_KINDS: Final = {
    key_in(system.key, result.key): result.kind for system in SYSTEMS for result in system.catalogue
}
"""Which results may bear a limit, and in what kind of quantity."""
BY_KEY: Final = {system.key: system for system in SYSTEMS}


def given_systems(setup: Setup) -> tuple[System[Any], ...]:
    """Return the systems that a setup gives."""
    return tuple(system for system in SYSTEMS if system.gives(setup))


def system_of(key: str) -> System[Any] | None:
    """Return the system that a setup key belongs to, None for one of the whole car."""
    return BY_KEY.get(end_of(key))


def solve_measured(setup: Setup) -> None:
    """Solve the measured car, to make sure that it can be shown.

    Raises
    ------
    GeometryError
        The measured points can't be a car.
    """
    measured = setup.having(changes=())
    for system in given_systems(measured):
        system.study(measured)
