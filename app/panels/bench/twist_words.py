"""Words on the axle under torque: figures of both cars, the curve, and warnings."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from app.document.model import Units
from app.document.units import format_value, shown
from app.drawing.chart import Chart, Look, Note, Series
from app.panels.bench.pair_rows import Pair
from app.panels.figures import decimal_sign
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from geometry.leaf.load import stresses_from_eyes

Read = Callable[["End"], float | None]


@dataclass(frozen=True)
class End:
    """A car at full drive or full braking: a place in its torque curve."""

    car: RearAnswers
    place: int

    def eye(self, which: int) -> float:
        """Return the load at one spring's front (0) or rear (1) eye [N]."""
        assert self.car.twist is not None
        return float(self.car.twist.eye_load[which, self.place])

    def of(self, name: str) -> float:
        """Return a figure of the torque curve."""
        return float(getattr(self.car.twist, name)[self.place])


def full_drive(car: RearAnswers) -> End | None:
    """Return a car at full drive, None where its thrust isn't known."""
    full = car.single.get("full_thrust")
    if car.twist is None or full is None:
        return None
    return End(car, int(np.argmin(np.abs(car.twist.thrust - full))))


def full_braking(car: RearAnswers) -> End | None:
    """Return a car under full braking, None where its grip isn't known."""
    return None if car.twist is None else End(car, int(np.argmin(car.twist.thrust)))


def twist_pairs(study: Study[RearAnswers]) -> list[Pair]:
    """Return the figures of both cars under torque."""
    cars = (study.measured, study.proposed)
    drive, braking = full_drive, full_braking

    def single(title: str, kind: str, key: str, places: int | None = None) -> Pair:
        was, now = (car.single.get(key) for car in cars)
        return Pair(title, kind, was, now, places)

    def at(title: str, kind: str, end: EndOf, read: Read, places: int | None = None) -> Pair:
        was, now = (_read(end(car), read) for car in cars)
        past = kind == "force" and now is not None and now < 0
        return Pair(title, kind, was, now, places, strong=past)

    def squat(car: RearAnswers) -> float | None:
        values = car.rest.values.get("anti_squat")
        return None if values is None else float(values[0])

    pairs = [
        single("Wind-up stiffness", "torsional rate", "wind_up_stiffness", 0),
        at("Thrust, full drive", "force", drive, lambda end: end.of("thrust")),
        at("Torque at the wheels", "torque", drive, _wheel_torque, 0),
        at("Wind-up, full drive", "angle", drive, lambda end: end.of("rotation")),
        at("Wind-up, full braking", "angle", braking, lambda end: end.of("rotation")),
        at("Pinion angle, full drive", "angle", drive, _pinion),
        at("Pinion angle, full braking", "angle", braking, _pinion),
        at("Body lift, full drive", "length", drive, lambda end: -end.of("rise"), 1),
        at("Front eye, full drive", "force", drive, lambda end: end.eye(0)),
        at("Rear eye, full drive", "force", drive, lambda end: end.eye(1)),
        at("Front eye, full braking", "force", braking, lambda end: end.eye(0)),
        at("Rear eye, full braking", "force", braking, lambda end: end.eye(1)),
        at("Highest stress, full drive", "stress", drive, _stress),
        Pair("Traction bar, length", "length", _bar_length(cars[0]), _bar_length(cars[1])),
        single("Traction bars touch at", "force", "bars_close_at"),
        Pair("Anti-squat", "percent", squat(cars[0]), squat(cars[1]), 0),
        single("Anti-squat, bars closed", "percent", "anti_squat_bars", 0),
        single("Lift by the bars, full drive", "length", "bars_lift_full", 1),
        single("Bars touch in bump after", "length", "bars_close_travel", 1),
        single("Wheel rate, bars closed", "spring rate", "bars_wheel_rate"),
        single("Wheel rate in roll, both closed", "spring rate", "bars_roll_rate"),
    ]
    return [pair for pair in pairs if pair.measured is not None or pair.proposed is not None]


EndOf = Callable[[RearAnswers], End | None]


def _read(end: End | None, read: Read) -> float | None:
    return None if end is None else read(end)


def _bar_length(car: RearAnswers) -> float | None:
    bars = None if car.leaf is None else car.leaf.bars
    return None if bars is None else bars.length


def _wheel_torque(end: End) -> float | None:
    leaf = end.car.leaf
    return None if leaf is None else end.of("thrust") * leaf.car.tyre_radius


def _pinion(end: End) -> float | None:
    resting = end.car.rest.values.get("pinion_angle")
    return None if resting is None else float(resting[0]) + end.of("rotation")


def _stress(end: End) -> float | None:
    leaf, twist = end.car.leaf, end.car.twist
    if leaf is None or twist is None or leaf.car.load is None:
        return None
    stresses = stresses_from_eyes(leaf.stages, twist.eye_load[:, end.place], leaf.car.load)
    return float(stresses.worst.max())


# --- words ----------------------------------------------------------------------------------------


def headline(car: RearAnswers, units: Units) -> str:
    """Return what full drive does: "Full drive, 4725 N: the axle winds up 2.31°, nose up."."""
    end = full_drive(car)
    if end is None:
        return ""
    thrust = format_value(end.of("thrust"), "force", units)
    angle = format_value(end.of("rotation"), "angle", units, decimal=decimal_sign())
    limit = "all that the tyres hold" if car.by_grip else "all that the engine gives"
    return f"Full drive, {thrust}, {limit}: the axle winds up by {angle}."


def warnings(car: RearAnswers) -> Iterator[str]:
    """Return warnings: eye loads that change sign, bars that never touch."""
    for end, way in ((full_drive(car), "drive"), (full_braking(car), "braking")):
        for which, name in ((0, "front"), (1, "rear")):
            if end is not None and end.eye(which) < 0:
                yield (
                    f"Under full {way} the load on the {name} eye is reversed: that half is held "
                    "by the main leaf and its clipped leaves alone, and winds up further than "
                    "shown."
                )
    closes, full = car.single.get("bars_close_at"), car.single.get("full_thrust")
    if closes is not None and full is not None and not 0 < closes <= full:
        yield "The traction bars don't touch at full drive: the gap is too wide for them to work."


def twist_chart(study: Study[RearAnswers], units: Units, needs: str) -> Chart:
    """Return rotation over thrust, with the kink and both ends."""
    now = study.proposed
    if now.twist is None:
        return Chart(empty=f"The curve {needs}." if needs else "It doesn't exist for this car.")
    force, angle = shown("force", units), shown("angle", units)
    notes: list[Note] = []
    curves: list[Series] = []
    cars: list[tuple[RearAnswers, Look]] = [(now, "proposed")]
    if study.changed and study.measured.twist is not None:
        cars.insert(0, (study.measured, "measured"))
    for car, look in cars:
        assert car.twist is not None
        x, y = car.twist.thrust / force.size, car.twist.rotation / angle.size
        curves.append(Series(x, y, look))
        kink = car.single.get("bars_close_at", 0.0) / force.size
        if 0 < kink < x[-1]:
            notes.append(Note(kink, float(np.interp(kink, x, y)), "snubber touches", look))
    x, y = curves[-1].at, curves[-1].values
    notes += [
        Note(float(x[-1]), float(y[-1]), "full drive"),
        Note(float(x[0]), float(y[0]), "full braking"),
    ]
    return Chart(
        tuple(curves),
        notes=tuple(notes),
        along=f"thrust at the ground, {force.unit}, + driving",
        up=f"turn of the axle, {angle.unit}, + nose up",
        spoken=headline(now, units),
    )
