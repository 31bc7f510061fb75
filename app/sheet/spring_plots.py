"""Two plots of an axle on leaves: load over deflection, and couple over rotation."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from app.document.model import Units
from app.document.units import shown
from app.drawing.axes import Axis, Numbers, padded, ticks_at_least
from app.drawing.chart import DASHES, Band, Chart, Field, Frame, Look, Note, Series
from app.paper.charts import WEIGHTS, ChartPaper
from app.paper.faces import FINE, SMALL, SMALL_STRONG
from app.paper.flow import Block
from app.paper.ink import MIDDLE, Ink
from app.paper.parts import heading
from app.paper.sizes import Paper
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from geometry.dataclass import dataclass

HEIGHT: Final = 62.0  # with title and figures [mm]
HEAD: Final = 6.0
UNDER: Final = 9.0  # for figures and the name of the axis under a plot
LEFT: Final = 12.0  # for figures beside it
BETWEEN: Final = 6.0
FEWEST: Final = 4  # figures of an axis
AIR: Final = 0.12  # of the range, for the words at both ends
FLAT: Final = 1e-6  # a range narrower than that holds one value


def plot_blocks(study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    """Return both plots beside each other, with what their lines are."""
    units = study.setup.units
    charts = (load_chart(study, units), torque_chart(study, units))
    if not any(chart.series for chart in charts):
        return []
    width = (paper.inner - 2 * LEFT - BETWEEN - 1.0) / 2

    def paint(ink: Ink, top: float) -> None:
        for index, chart in enumerate(charts):
            x = paper.margin + LEFT + index * (width + BETWEEN + LEFT)
            _Plot(ink, chart, x, top, width, decimal).paint()

    return [
        heading("Spring and wind-up", paper.margin),
        _legend(study, paper),
        Block(HEIGHT, paint, gap=1.0),
    ]


def _legend(study: Study[RearAnswers], paper: Paper) -> Block:
    looks: list[tuple[str, Look]] = [("tips touching", "bound")]
    if study.proposed.leaf is not None and study.proposed.leaf.car.friction:
        looks.append(("with friction", "edge"))
    if study.changed:
        looks += [("as found", "measured"), ("as built", "proposed")]
    else:
        looks.append(("as found", "proposed"))

    def paint(ink: Ink, top: float) -> None:
        for index, (name, look) in enumerate(looks):
            x, y = paper.margin + index * 42.0, top + 3.2
            ink.chain([(x, y - 1.0), (x + 12.0, y - 1.0)], WEIGHTS[look], DASHES[look])
            ink.write(x + 14.0, y, name, SMALL)

    return Block(4.5, paint, keeps=True)


# What they show


def load_chart(study: Study[RearAnswers], units: Units) -> Chart:
    """Return the load on one spring over its deflection from free."""
    long, force = shown("length", units), shown("force", units)
    series: list[Series] = []
    bands: list[Band] = []
    for car, look in _cars(study):
        curve = car.curve
        if curve is None:
            continue
        x, load = curve.deflection / long.size, curve.load / force.size
        half = curve.half_width[0] / force.size
        if look == "proposed":
            series.append(Series(x, load[1], "bound"))
            bands += [Band(x, load[0] - half, load[0] + half)] if half.any() else []
        series.append(Series(x, load[0], look))
    return Chart(
        tuple(series),
        tuple(bands),
        tuple(_load_notes(study.proposed, units)) if series else (),
        title=f"Load on one spring, {force.unit}",
        along=f"deflection from free, {long.unit}",
        from_zero=True,
    )


def _load_notes(car: RearAnswers, units: Units) -> Iterator[Note]:
    """Yield ride, full bump and where a helper touches, on the proposed curve."""
    leaf, static, curve = car.leaf, car.single.get("static_deflection"), car.curve
    if leaf is None or curve is None:
        return
    places = [(float(at), "helper touches") for at in leaf.stages.contacts[1:]]
    if static is not None:
        bump = static + leaf.car.bump - leaf.stands_at
        places += [(static, "ride"), (bump, "full bump")]
    for at, words in places:
        if 0.0 < at <= curve.deflection[-1]:
            load = float(np.interp(at, curve.deflection, curve.load[0]))
            long, force = shown("length", units).size, shown("force", units).size
            yield Note(at / long, load / force, words)


def torque_chart(study: Study[RearAnswers], units: Units) -> Chart:
    """Return the couple on both seats over the axle's rotation."""
    torque = shown("torque", units)
    series: list[Series] = []
    notes: list[Note] = []
    for car, look in _cars(study):
        if car.twist is None:
            continue
        x, y = np.degrees(car.twist.rotation), car.twist.couple / torque.size
        series.append(Series(x, y, look))
        if look == "proposed":
            ends = ((-1, "full drive"), (0, "full braking"))
            notes = [Note(float(x[place]), float(y[place]), words) for place, words in ends]
            notes += _closing(car, torque.size)
    title = f"Couple on both seats, {torque.unit}"
    return Chart(tuple(series), (), tuple(notes), title=title, along="wind-up, °, + nose up")


def _closing(car: RearAnswers, torque: float) -> Iterator[Note]:
    """Yield where traction bars touch, between full braking and full drive."""
    at, twist = car.single.get("bars_close_at"), car.twist
    if at is not None and twist is not None and twist.thrust[0] < at < twist.thrust[-1]:
        x, y = (float(np.interp(at, twist.thrust, v)) for v in (twist.rotation, twist.couple))
        yield Note(float(np.degrees(x)), y / torque, "bars touch")


def _cars(study: Study[RearAnswers]) -> tuple[tuple[RearAnswers, Look], ...]:
    if not study.changed:
        return ((study.measured, "proposed"),)
    return ((study.measured, "measured"), (study.proposed, "proposed"))


# How they are painted


@dataclass(frozen=True)
class _Plot:
    ink: Ink
    chart: Chart
    x: float
    top: float
    width: float
    decimal: str

    def paint(self) -> None:
        """Paint title, axes, lines and marks."""
        self.ink.write(self.x, self.top + 3.6, self.chart.title, SMALL_STRONG)
        field = Field(self.x, self.top + HEAD, self.width, HEIGHT - HEAD - UNDER)
        middle = field.x + field.width / 2
        if not self.chart.series:
            self.ink.box(field.x, field.y, field.width, field.height, MIDDLE / 2)
            words = "not known: see what is missing"
            self.ink.write(middle, field.y + field.height / 2, words, FINE, "centre")
            return
        along, up = (
            _axis(v, self.chart.from_zero) for v in (self.chart.drivers, self.chart.values)
        )
        frame = Frame(field, along, up)
        ChartPaper(self.ink, self.chart, frame, self.decimal).paint(room=LEFT - 1.5)
        self.ink.write(middle, field.bottom + 7.6, self.chart.along, FINE, "centre")


def _axis(values: Numbers, from_zero: bool) -> Axis:
    """Return an axis that holds values; one that begins at nought has no air under it."""
    low, high = float(values.min()), float(values.max())
    ends = (0.0, 1.05 * high) if from_zero else padded(low, high, FLAT, AIR)
    return Axis(*ends, ticks_at_least(*ends, FEWEST))
