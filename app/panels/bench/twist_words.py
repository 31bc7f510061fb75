"""Words on the axle under torque: figures of both cars, the curve, and warnings."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from app.document.model import Units
from app.document.units import format_value, number_of, shown, unit_of
from app.drawing.chart import Chart, Look, Note, Series
from app.panels.bench.pair_rows import Pair
from app.panels.figures import NOTHING, decimal_sign
from app.panels.text_table import Cell, TextRows
from app.panels.writing import Face
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.pinion import STATES, pinion_rows
from app.systems.rear.shop.torque import TorqueRow, torque_rows
from app.systems.rear.words.telling import RearTelling
from app.systems.rear.words.torque import LIMITS, stress_under_torque
from geometry.dataclass import dataclass


@dataclass(frozen=True)
class End:
    """A car at full drive or full braking: a place in its torque curve."""

    car: RearAnswers
    place: int

    def is_reversed(self, which: int) -> bool:
        """Tell whether the front (0) or rear (1) half is bent the other way."""
        assert self.car.twist is not None
        return bool(self.car.twist.reversed_eye[which, self.place])

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

    torques = _wheel_torque(study.measured), _wheel_torque(study.proposed)

    def single(title: str, kind: str, key: str, places: int | None = None) -> Pair:
        was, now = (car.single.get(key) for car in cars)
        return Pair(title, kind, was, now, places)

    def squat(car: RearAnswers) -> float | None:
        values = car.rest.values.get("anti_squat")
        return None if values is None else float(values[0])

    pairs = [
        single("Wind-up stiffness", "torsional rate", "wind_up_stiffness", 0),
        Pair("Torque at the wheels, full drive", "torque", *torques, 0),
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


def _bar_length(car: RearAnswers) -> float | None:
    bars = None if car.leaf is None else car.leaf.bars
    return None if bars is None else bars.length


def _wheel_torque(car: RearAnswers) -> float | None:
    end = full_drive(car)
    return None if end is None or car.leaf is None else end.of("thrust") * car.leaf.car.tyre_radius


def step_rows(study: Study[RearAnswers], units: Units) -> TextRows:
    """Return each car in steps up to full drive, and at full braking."""
    steps = torque_rows(study)
    force, length, stress = (unit_of(kind, units) for kind in ("force", "length", "stress"))
    heads = ["", f"thrust\n{force}", "wind-up\n°", "pinion\n°", f"lift\n{length}"]
    heads += [f"front eye\n{force}", f"rear eye\n{force}", f"stress\n{stress}"]
    with_bars = any(step.snubber for step in steps)
    heads += [f"bar\n{force}"] if with_bars else []
    rows = tuple(_step_row(step, units, with_bars) for step in steps)
    return TextRows(tuple(heads), rows)


def _step_row(step: TorqueRow, units: Units, with_bars: bool) -> tuple[Cell, ...]:
    def text(value: float | None, kind: str, plus: bool = False) -> str:
        if value is None:
            return NOTHING
        return number_of(value, kind, units, decimal=decimal_sign(), plus=plus)

    face: Face = "bold" if step.is_proposed else "plain"
    stress = f"{'■ ' if step.past else ''}{text(step.stress, 'stress')}"
    past_words = "past the limit of a leaf: it sets or breaks"
    eyes = [
        Cell(text(eye, "force"), face, "accent" if eye < 0 else "ink")
        for eye in (step.front_eye, step.rear_eye)
    ]
    return (
        Cell(step.name, face),
        Cell(text(step.thrust, "force"), face),
        Cell(text(step.wind_up, "angle", True), face),
        Cell(text(step.pinion, "angle", True), face),
        Cell(text(step.lift, "length", True), face),
        *eyes,
        Cell(stress, face, "accent" if step.past else "ink", past_words if step.past else ""),
        *([Cell(text(step.snubber, "force"), face)] if with_bars else []),
    )


def pinion_table(study: Study[RearAnswers], units: Units) -> TextRows:
    """Return pinion and propshaft of both cars at rest, at full bump and wound up."""

    def cell(angle: float | None, face: Face) -> Cell:
        decimal = decimal_sign()
        text = (
            NOTHING
            if angle is None
            else number_of(angle, "angle", units, decimal=decimal, plus=True)
        )
        return Cell(text, face)

    rows = []
    for row in pinion_rows(study):
        face: Face = "bold" if row.is_proposed else "plain"
        rows.append((Cell(row.name, face), *(cell(angle, face) for angle in row.angles)))
    return TextRows(("", *(f"{state}\n°" for state in STATES)), tuple(rows))


# --- words ----------------------------------------------------------------------------------------


def headline(car: RearAnswers, units: Units) -> str:
    """Return what full drive does: "Full drive, 4725 N: the axle winds up 2.31°, nose up."."""
    end = full_drive(car)
    if end is None:
        return ""
    thrust = format_value(end.of("thrust"), "force", units)
    angle = format_value(end.of("rotation"), "angle", units, decimal=decimal_sign())
    limit = LIMITS[car.torque.drive.by] if car.torque is not None else ""
    return f"Full drive, {thrust}, {limit}: the axle winds up by {angle}."


def warnings(study: Study[RearAnswers]) -> Iterator[str]:
    """Return warnings: eye loads that change sign, leaves past their limit, idle bars."""
    car = study.proposed
    for end, way in ((full_drive(car), "drive"), (full_braking(car), "braking")):
        for which, name in ((0, "front"), (1, "rear")):
            if end is not None and end.is_reversed(which):
                yield (
                    f"Under full {way} the {name} half is bent the other way: it is held by the "
                    "main leaf and its clipped leaves alone, and winds up further than shown."
                )
    for sentence in stress_under_torque(RearTelling(study, decimal_sign())):
        yield sentence.text
    closes, full = car.single.get("bars_close_at"), car.single.get("full_thrust")
    if closes is not None and full is not None and not 0 <= closes <= full:
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
