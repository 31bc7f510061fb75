"""Pinion and propshaft at rest, at full bump and wound up, as rows. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.cars import named_cars
from geometry.dataclass import dataclass

STATES: Final = ("at rest", "full bump", "full drive", "full braking")
ANGLES: Final = {
    "pinion_angle": "Pinion angle",
    "pinion_to_gearbox": "Pinion against the gearbox line",
    "pinion_joint_angle": "Pinion joint works at",
    "gearbox_joint_angle": "Gearbox joint works at",
}


@dataclass(frozen=True)
class PinionRow:
    """An angle of a car in each of the states [rad], + nose up, None where it isn't known."""

    key: str
    name: str
    is_proposed: bool
    angles: tuple[float | None, ...]


def pinion_rows(study: Study[RearAnswers]) -> tuple[PinionRow, ...]:
    """Return each angle of each car; those that nobody measured are left out."""
    cars = [(name, car, pinion_angles(car)) for name, car in named_cars(study)]
    return tuple(
        PinionRow(key, f"{title}, {name}", study.changed and car is study.proposed, angles[key])
        for key, title in ANGLES.items()
        for name, car, angles in cars
        if key in angles
    )


def pinion_angles(car: RearAnswers) -> dict[str, tuple[float | None, ...]]:
    """Return a car's angles by key, one for each of the states."""
    return {
        key: (float(car.rest.values[key][0]), _at_bump(car, key), *_wound_up(car, key))
        for key in ANGLES
        if key in car.rest.values
    }


def _at_bump(car: RearAnswers, key: str) -> float | None:
    sweep = car.travel
    return float(sweep.values[key][-1]) if sweep.reached[-1] else None


def _wound_up(car: RearAnswers, key: str) -> Iterator[float | None]:
    """Yield an angle at full drive and at full braking."""
    torque, leaf, on_springs = car.torque, car.leaf, car.pinion_on_springs
    for share in (1.0, -1.0):
        if torque is None or leaf is None or on_springs is None:
            yield None
            continue
        place = torque.place(share)
        turn, rise = float(torque.twist.rotation[place]), float(torque.twist.rise[place])
        if key == "pinion_angle":
            yield on_springs + turn
        else:
            yield float(leaf.wound_up(turn, rise)[key][0])
