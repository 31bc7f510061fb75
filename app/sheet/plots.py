"""Curves on paper: results over wheel travel, travel upright, measured dashed, proposed solid."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor, log10
from typing import Any, Final

import numpy as np

from app.document.model import Units
from app.document.units import number_of, shown
from app.paper.faces import FINE, SMALL, SMALL_STRONG, width_of, wrapped
from app.paper.flow import Block
from app.paper.ink import GREY, MIDDLE, THICK, THIN, Ink, Place
from app.paper.sizes import Paper
from app.systems.answers import CarAnswers, Study
from app.systems.both_cars import result_named
from app.words.results import result_unit
from geometry.catalogue.front import Result

CURVES: Final = ("camber", "toe", "caster", "roll_centre_height", "track_change", "wheel_rate")
LEAST: Final = {  # the least span of an axis in shown units: a straight line isn't made a drama
    "camber": 1.0,
    "toe": 0.3,
    "caster": 1.0,
    "roll_centre_height": 40.0,
    "track_change": 8.0,
    "wheel_rate": 4.0,
    "pinion_angle": 1.0,
    "wheelbase_change": 8.0,
    "axle_shift": 8.0,
    "roll_steer": 0.04,
    "anti_squat": 20.0,
    "shackle_angle": 10.0,
}
HEIGHT: Final = 65.0  # of the row of plots with titles and figures [mm]
HEAD: Final = 9.5  # for titles
FIGURES: Final = 5.0  # for figures under a plot
BETWEEN: Final = 4.5
LEFT: Final = 7.5  # room for the figures of travel
DASHES: Final = (7.0, 3.5)


@dataclass(frozen=True)
class Axis:
    """An axis in shown units: its ends, where its figures stand, and their decimals."""

    low: float
    high: float
    ticks: tuple[float, ...]
    places: int

    def share(self, value: float) -> float:
        """Return how far along the axis a value is, 0 to 1."""
        return (value - self.low) / (self.high - self.low)


def curve_block(
    study: Study[Any], paper: Paper, decimal: str, keys: tuple[str, ...] = CURVES
) -> Block:
    """Return a row of upright plots that share the figures of travel at the left."""
    results = [result for key in keys if (result := result_named(study, key)) is not None]
    count = len(results)
    width = (paper.inner - LEFT - (count - 1) * BETWEEN - 1.5) / count

    def paint(ink: Ink, top: float) -> None:
        for index, result in enumerate(results):
            x = paper.margin + LEFT + index * (width + BETWEEN)
            plot = _Plot(ink, study, result, x, top, width, decimal)
            plot.paint(figures=index == 0)

    return Block(HEIGHT, paint, gap=1.0)


@dataclass(frozen=True)
class _Plot:
    ink: Ink
    study: Study[Any]
    result: Result
    x: float
    top: float
    width: float
    decimal: str

    def paint(self, figures: bool) -> None:
        """Paint title, axes and curves, with the figures of travel if asked."""
        units = self.study.setup.units
        unit = result_unit(self.result, units)
        title = f"{_title(self.result)}, {unit}" if unit else _title(self.result)
        lines = wrapped(title, SMALL_STRONG, self.width + BETWEEN - 1.0)
        for index, line in enumerate(lines[-2:]):
            y = self.top + HEAD - 2.0 - 3.9 * (len(lines[-2:]) - 1 - index)
            self.ink.write(self.x, y, line, SMALL_STRONG)
        curves = list(self._curves())
        values = [value for _, places in curves for value, _ in places]
        if not values:
            self._paint_unknown()
            return
        least = LEAST.get(self.result.key, 1e-6) / (25.4 if unit == "in" else 1.0)
        across = axis_for(*_usual(values), least, 2)
        ranges, size = self.study.ranges.travel, shown("length", units).size
        upright = axis_for(ranges[0] / size, ranges[1] / size, 0.0, 3, pad=0.0)
        self._paint_axes(across, upright, figures)
        with self.ink.inside(*self._field()):
            for is_proposed, places in curves:
                weight, dashes = (THICK, ()) if is_proposed else (MIDDLE, DASHES)
                self.ink.chain([self._place(p, across, upright) for p in places], weight, dashes)

    def _paint_unknown(self) -> None:
        x, y, width, height = self._field()
        self.ink.box(x, y, width, height, MIDDLE / 2)
        for index, words in enumerate(("not known:", "see what", "is missing")):
            baseline = y + height / 2 + 4.0 * (index - 1)
            self.ink.write(x + width / 2, baseline, words, FINE, "centre")

    def _curves(self) -> Iterator[tuple[bool, list[Place]]]:
        """Yield measured and proposed in pieces that exist, as (value, travel) in shown units."""
        study = self.study
        cars: list[tuple[bool, CarAnswers]] = (
            [(False, study.measured), (True, study.proposed)]
            if study.changed
            else [(True, study.measured)]
        )
        for is_proposed, car in cars:
            for places in _chains(car, self.result, study.setup.units):
                yield is_proposed, places

    def _field(self) -> tuple[float, float, float, float]:
        return self.x, self.top + HEAD, self.width, HEIGHT - HEAD - FIGURES

    def _place(self, at: Place, across: Axis, upright: Axis) -> Place:
        x, y, width, height = self._field()
        return x + width * across.share(at[0]), y + height * (1.0 - upright.share(at[1]))

    def _paint_axes(self, across: Axis, upright: Axis, figures: bool) -> None:
        x, y, width, height = self._field()
        for tick in across.ticks:
            at = x + width * across.share(tick)
            weight, ink = (THIN, GREY) if tick else (MIDDLE / 2, None)
            self.ink.rule((at, y), (at, y + height), weight, *([ink] if ink else []))
        self._write_figures(across)
        for tick in upright.ticks:
            at = y + height * (1.0 - upright.share(tick))
            weight, ink = (THIN, GREY) if tick else (MIDDLE / 2, None)
            self.ink.rule((x, at), (x + width, at), weight, *([ink] if ink else []))
            if figures:
                self.ink.write(x - 1.0, at + 1.1, self._figure(tick, upright), FINE, "right")
        self.ink.box(x, y, width, height, MIDDLE / 2)

    def _write_figures(self, across: Axis) -> None:
        """Write figures under their ticks, not beyond the plot's corners nor upon each other."""
        x, y, width, height = self._field()
        free = x - 1.0
        for tick in across.ticks:
            words = self._figure(tick, across)
            half = width_of(words, FINE) / 2
            at = x + width * across.share(tick)
            at = min(max(at, x + half - 1.0), x + width - half + 1.0)
            if at - half >= free:
                self.ink.write(at, y + height + 3.6, words, FINE, "centre")
                free = at + half + 1.0

    def _figure(self, value: float, axis: Axis) -> str:
        text = number_of(value, "plain", "mm", decimal=self.decimal, places=axis.places)
        return text if text.strip("−0.,") else text.lstrip("−")


def _title(result: Result) -> str:
    if result.key == "shackle_angle":  # its whole title would be cut
        return "Shackle"
    return result.title.replace(", per wheel", "")


def _chains(car: CarAnswers, result: Result, units: Units) -> Iterator[list[Place]]:
    """Yield the pieces of a car's curve that exist: (value, travel) in shown units."""
    values = car.travel.values.get(result.key)
    if values is None:
        return
    row = values[0] if values.ndim == 2 else values
    good = car.travel.reached & np.isfinite(row)
    size, per = shown(result.kind, units).size, shown("length", units).size
    leap = float(np.ptp(np.percentile(row[good], (5.0, 95.0)))) if good.any() else 0.0
    piece: list[Place] = []
    before = None
    for there, value, at in zip(good, row, car.travel.at, strict=True):
        if not there or (before is not None and abs(value - before) > max(leap, 1e-9)):
            yield from (piece,) if len(piece) > 1 else ()
            piece = []
        if there:
            piece.append((float(value) / size, float(at) / per))
        before = value if there else None
    yield from (piece,) if len(piece) > 1 else ()


def _usual(values: list[float]) -> tuple[float, float]:
    """Return the range of a curve without the spikes where a centre runs to infinity."""
    low, high = (float(end) for end in np.percentile(values, (5.0, 95.0)))
    room = high - low
    kept = [value for value in values if low - room <= value <= high + room]
    return min(kept), max(kept)


def axis_for(low: float, high: float, least: float, fewest: int, pad: float = 0.06) -> Axis:
    """Return an axis around a range, with at least so many round figures and some room."""
    if high - low < least:
        middle = (low + high) / 2
        low, high = middle - least / 2, middle + least / 2
    low, high = low - pad * (high - low), high + pad * (high - low)
    step, ticks = _ticks(low, high, fewest)
    return Axis(low, high, ticks, max(0, -floor(log10(step) + 1e-9)))


def _ticks(low: float, high: float, fewest: int) -> tuple[float, tuple[float, ...]]:
    """Return the largest round step that has at least so many multiples in a range, and those."""
    power = 10.0 ** ceil(log10(high - low))
    while True:
        for step in (power, 0.5 * power, 0.2 * power):
            first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
            if last - first + 1 >= fewest:
                return step, tuple(index * step for index in range(first, last + 1))
        power *= 0.1


def legend(changed: bool, paper: Paper, units: str, whose: str = "; left wheel") -> Block:
    """Say which line is which, what is upright, and whose curves they are."""

    def paint(ink: Ink, top: float) -> None:
        x, y = paper.margin, top + 3.2
        words = f"Over wheel travel in {'mm' if units == 'mm' else 'inches'}, bump upwards"
        ink.write(x, y, f"{words}{whose}.", SMALL)
        told: list[tuple[str, float, tuple[float, ...]]] = [("as proposed", THICK, ())]
        told += [("as measured", MIDDLE, DASHES)] if changed else []
        at = paper.right
        for name, weight, dashes in told:
            ink.write(at, y, name if changed else "as measured", SMALL, "right")
            ink.chain([(at - 34.0, y - 1.0), (at - 22.0, y - 1.0)], weight, dashes)
            at -= 40.0

    return Block(4.5, paint, keeps=True)
