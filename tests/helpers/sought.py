"""What searches are tried on: the saloon, its arms' pivots with room, and common wants."""

from __future__ import annotations

from math import radians

from app.document.model import Setup
from app.document.plans import Room, Want
from app.systems.front.system import FRONT
from app.systems.limits import Extreme, readings
from app.systems.rear.system import REAR
from tests.helpers.sheets import sample

GAIN = radians(1.0) / 25.0  # a degree per 25 mm
UPPER_FRONT, UPPER_REAR = "front.upper_front", "front.upper_rear"
PIVOTS = {
    UPPER_FRONT: Room(z=(-30.0, 10.0)),
    UPPER_REAR: Room(z=(-30.0, 10.0), alike=UPPER_FRONT),
}
TIE_ROD = {"front.tie_outer": Room(z=(-12.0, 12.0))}
CAMBER_GAIN = Want("front.camber_gain", -0.5 * GAIN, within=0.01 * GAIN, kind="angle per length")
BUMP_STEER = Want("front.bump_steer", 0.0, within=0.005 * GAIN, kind="angle per length")


def saloon(**more: object) -> Setup:
    return sample("small_saloon").having(changes=(), limits={}, **more)


def found_value(setup: Setup, key: str) -> float:
    end, name = key.split(".")
    system = {"front": FRONT, "rear": REAR}[end]
    car = system.study(setup).proposed
    result = next(each for each in car.results if each.key == name)
    return next(iter(readings(car, result))).value


def front_readings(setup: Setup, name: str) -> list[Extreme]:
    car = FRONT.study(setup).proposed
    result = next(each for each in car.results if each.key == name)
    return list(readings(car, result))


def unlike(**more: object) -> Setup:
    """Return the saloon with its right upper arm bolted 5 mm higher at the front."""
    setup = saloon(**more)
    return setup.having(
        evidence={**setup.readings, "front.right.upper_front": (98.0, -372.0, 565.0)}
    )
