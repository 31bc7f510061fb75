"""The axle in steps up to full drive, and at full braking, as rows. No Qt."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.cars import named_cars
from geometry.dataclass import dataclass
from geometry.leaf.load import LeafStresses
from geometry.leaf.on_car import bent_stresses
from geometry.leaf.rear import LeafRear
from geometry.leaf.single import TorqueCurve

STEPS: Final = {
    "Drive 25 %": 0.25,
    "Drive 50 %": 0.5,
    "Drive 75 %": 0.75,
    "Full drive": 1.0,
    "Full braking": -1.0,
}
"""Names of loads, and their share of full drive (+) or of full braking (-)."""


@dataclass(frozen=True)
class PastLeaf:
    """The leaf that is furthest past its limit: its place, 0 the main leaf, and both [N/mm²]."""

    place: int
    stress: float
    limit: float


@dataclass(frozen=True)
class TorqueRow:
    """A car under a part of full drive or under full braking, where it stands.

    Angles [rad] are + nose up; `pinion` is None where its angle wasn't measured. `thrust` is at the
    contact patches of both wheels, `front_eye` and `rear_eye` the loads of one spring's eyes, and
    `snubber` that of a traction bar [N]. `lift` is how far the body rises [mm], `stress` the
    highest of any leaf [N/mm²]; `past` is the leaf that is past its limit, None where none is.
    """

    name: str
    is_proposed: bool
    thrust: float
    wind_up: float
    pinion: float | None
    lift: float
    front_eye: float
    rear_eye: float
    snubber: float
    stress: float
    past: PastLeaf | None


def torque_rows(study: Study[RearAnswers]) -> tuple[TorqueRow, ...]:
    """Return each load of each car; nothing where engine, grip or load isn't known."""
    cars = [(name, car, torque_steps(car)) for name, car in named_cars(study)]
    return tuple(
        replace(
            steps[place],
            name=f"{load}, {name}",
            is_proposed=study.changed and car is study.proposed,
        )
        for place, load in enumerate(STEPS)
        for name, car, steps in cars
        if steps
    )


def torque_steps(car: RearAnswers) -> tuple[TorqueRow, ...]:
    """Return a car under each load; nothing where engine, grip or load isn't known."""
    if car.torque is None or car.leaf is None:
        return ()
    pinion = car.pinion_on_springs if car.leaf.car.has_pinion else None
    return tuple(_step(load, car.torque, car.leaf, share, pinion) for load, share in STEPS.items())


def _step(
    load: str, torque: TorqueCurve, leaf: LeafRear, share: float, pinion: float | None
) -> TorqueRow:
    twist, place = torque.twist, torque.place(share)
    turn = float(twist.rotation[place])
    stresses = bent_stresses(leaf, twist.bending_load[:, place])
    return TorqueRow(
        load,
        False,
        thrust=float(twist.thrust[place]),
        wind_up=turn,
        pinion=None if pinion is None else pinion + turn,
        lift=-float(twist.rise[place]) + 0.0,
        front_eye=float(twist.eye_load[0, place]),
        rear_eye=float(twist.eye_load[1, place]),
        snubber=float(twist.snubber[place]),
        stress=0.0 if stresses is None else float(stresses.worst.max()),
        past=_past(leaf, stresses),
    )


def _past(leaf: LeafRear, stresses: LeafStresses | None) -> PastLeaf | None:
    if stresses is None or stresses.margin.min() >= 0.0:
        return None
    place = int(stresses.margin.argmin())
    limit = float(leaf.stages.pack.limits[place])
    return PastLeaf(place, float(stresses.worst[place]), limit)


def stiffnesses(study: Study[RearAnswers]) -> tuple[tuple[str, float], ...]:
    """Return each car's name with the wind-up stiffness of both its springs [N·mm/rad]."""
    stiff = ((name, car.single.get("wind_up_stiffness")) for name, car in named_cars(study))
    return tuple((name, value) for name, value in stiff if value is not None)
