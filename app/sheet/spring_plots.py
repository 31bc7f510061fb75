"""Two plots of an axle on leaves: load over deflection, and couple over rotation."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from app.document.model import Units
from app.document.units import number_of, shown
from app.paper.faces import FINE, SMALL, SMALL_STRONG, width_of
from app.paper.flow import Block
from app.paper.ink import GREY, MIDDLE, THICK, THIN, Ink, Place
from app.paper.parts import heading
from app.paper.sizes import Paper
from app.sheet.plots import DASHES, Axis, axis_for
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers

HEIGHT: Final = 62.0  # with title and figures [mm]
HEAD: Final = 6.0
UNDER: Final = 9.0  # for figures and the name of the axis under a plot
LEFT: Final = 12.0  # for figures beside it
BETWEEN: Final = 6.0
DOTTED: Final = (1.5, 2.5)
DOT: Final = 0.9  # radius of a mark [mm]


@dataclass(frozen=True)
class Line:
    """A line in shown units."""

    places: tuple[Place, ...]
    weight: float = THICK
    dashes: tuple[float, ...] = ()


@dataclass(frozen=True)
class Spot:
    """A place on a curve with what it is."""

    at: Place
    words: str


@dataclass(frozen=True)
class Picture:
    """What a plot shows; without lines it says what to do instead."""

    title: str
    across: str
    lines: tuple[Line, ...] = ()
    spots: tuple[Spot, ...] = ()
    from_zero: bool = False


def plot_blocks(study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    """Return both plots beside each other, with what their lines are."""
    units = study.setup.units
    pictures = (load_picture(study, units), torque_picture(study, units))
    if not any(picture.lines for picture in pictures):
        return []
    width = (paper.inner - 2 * LEFT - BETWEEN - 1.0) / 2

    def paint(ink: Ink, top: float) -> None:
        for index, picture in enumerate(pictures):
            x = paper.margin + LEFT + index * (width + BETWEEN + LEFT)
            _Plot(ink, picture, x, top, width, decimal).paint()

    return [
        heading("Spring and wind-up", paper.margin),
        _legend(study, paper),
        Block(HEIGHT, paint, gap=1.0),
    ]


def _legend(study: Study[RearAnswers], paper: Paper) -> Block:
    told: list[tuple[str, float, tuple[float, ...]]] = [("tips touching", THIN, ())]
    if any(car.leaf is not None and car.leaf.car.friction for car in (study.proposed,)):
        told.append(("with friction", THIN, DOTTED))
    if study.changed:
        told += [("as measured", MIDDLE, DASHES), ("as proposed", THICK, ())]
    else:
        told.append(("as measured", THICK, ()))

    def paint(ink: Ink, top: float) -> None:
        for index, (name, weight, dashes) in enumerate(told):
            x, y = paper.margin + index * 42.0, top + 3.2
            ink.chain([(x, y - 1.0), (x + 12.0, y - 1.0)], weight, dashes)
            ink.write(x + 14.0, y, name, SMALL)

    return Block(4.5, paint, keeps=True)


# What they show


def load_picture(study: Study[RearAnswers], units: Units) -> Picture:
    """Return the load on one spring over its deflection from free."""
    long, force = shown("length", units), shown("force", units)
    title, across = f"Load on one spring, {force.unit}", f"deflection from free, {long.unit}"
    lines: list[Line] = []
    for car, is_last in _cars(study):
        curve = car.curve
        if curve is None:
            continue
        x, load = curve.deflection / long.size, curve.load / force.size
        half = curve.half_width[0] / force.size
        if is_last:
            lines.append(_line(x, load[1], THIN))
            if half.any():
                lines += [_line(x, load[0] + s * half, THIN, DOTTED) for s in (-1.0, 1.0)]
        look = (THICK, ()) if is_last else (MIDDLE, DASHES)
        lines.append(_line(x, load[0], *look))
    spots = tuple(_load_spots(study.proposed, units)) if lines else ()
    return Picture(title, across, tuple(lines), spots, from_zero=True)


def _load_spots(car: RearAnswers, units: Units) -> Iterator[Spot]:
    """Yield ride, full bump and where a helper touches, on the proposed curve."""
    leaf, static, curve = car.leaf, car.single.get("static_deflection"), car.curve
    if leaf is None or curve is None:
        return
    places = [(float(at), "helper touches") for at in leaf.stages.contacts[1:]]
    if static is not None:
        bump = static + leaf.car.bump - (leaf.settled_travel or 0.0)
        places += [(static, "ride"), (bump, "full bump")]
    for at, words in places:
        if 0.0 < at <= curve.deflection[-1]:
            load = float(np.interp(at, curve.deflection, curve.load[0]))
            long, force = shown("length", units).size, shown("force", units).size
            yield Spot((at / long, load / force), words)


def torque_picture(study: Study[RearAnswers], units: Units) -> Picture:
    """Return the couple on both seats over the axle's rotation."""
    torque = shown("torque", units)
    lines, spots = [], []
    for car, is_last in _cars(study):
        if car.twist is None:
            continue
        x, y = np.degrees(car.twist.rotation), car.twist.couple / torque.size
        look = (THICK, ()) if is_last else (MIDDLE, DASHES)
        lines.append(_line(x, y, *look))
        if is_last:
            ends = ((-1, "full drive"), (0, "full braking"))
            spots = [Spot((float(x[place]), float(y[place])), words) for place, words in ends]
            spots += _closing(car, torque.size)
    title = f"Couple on both seats, {torque.unit}"
    return Picture(title, "wind-up, °, + nose up", tuple(lines), tuple(spots))


def _closing(car: RearAnswers, torque: float) -> Iterator[Spot]:
    """Yield where traction bars touch, between full braking and full drive."""
    at, twist = car.single.get("bars_close_at"), car.twist
    if at is not None and twist is not None and twist.thrust[0] < at < twist.thrust[-1]:
        x, y = (float(np.interp(at, twist.thrust, v)) for v in (twist.rotation, twist.couple))
        yield Spot((float(np.degrees(x)), y / torque), "bars touch")


def _cars(study: Study[RearAnswers]) -> tuple[tuple[RearAnswers, bool], ...]:
    if not study.changed:
        return ((study.measured, True),)
    return ((study.measured, False), (study.proposed, True))


def _line(
    x: NDArray[np.float64],
    y: NDArray[np.float64],
    weight: float,
    dashes: tuple[float, ...] = (),
) -> Line:
    return Line(tuple(zip(x.tolist(), y.tolist(), strict=True)), weight, dashes)


# How they are painted


@dataclass(frozen=True)
class _Plot:
    ink: Ink
    picture: Picture
    x: float
    top: float
    width: float
    decimal: str

    def paint(self) -> None:
        """Paint title, axes, lines and marks."""
        self.ink.write(self.x, self.top + 3.6, self.picture.title, SMALL_STRONG)
        if not self.picture.lines:
            self._paint_unknown()
            return
        across, upright = (self._axis(index) for index in (0, 1))
        self._paint_axes(across, upright)
        with self.ink.inside(*self._field()):
            for line in self.picture.lines:
                places = [self._place(at, across, upright) for at in line.places]
                self.ink.chain(places, line.weight, line.dashes)
        for spot in self.picture.spots:
            self._paint_spot(self._place(spot.at, across, upright), spot.words)

    def _field(self) -> tuple[float, float, float, float]:
        return self.x, self.top + HEAD, self.width, HEIGHT - HEAD - UNDER

    def _axis(self, index: int) -> Axis:
        values = [at[index] for line in self.picture.lines for at in line.places]
        low, high = min(values), max(values)
        if self.picture.from_zero:
            return axis_for(0.0, high * 1.05, 1e-6, 4, pad=0.0)
        return axis_for(low, high, 1e-6, 4, pad=0.12)  # room for the words at both ends

    def _place(self, at: Place, across: Axis, upright: Axis) -> Place:
        x, y, width, height = self._field()
        return x + width * across.share(at[0]), y + height * (1.0 - upright.share(at[1]))

    def _paint_axes(self, across: Axis, upright: Axis) -> None:
        x, y, width, height = self._field()
        for tick in across.ticks:
            at = x + width * across.share(tick)
            self._rule((at, y), (at, y + height), tick)
            self._write_under(at, y + height + 3.6, self._figure(tick, across))
        for tick in upright.ticks:
            at = y + height * (1.0 - upright.share(tick))
            self._rule((x, at), (x + width, at), tick)
            self.ink.write(
                x - 1.0, at + 1.1, self._figure(tick, upright), FINE, "right", LEFT - 1.5
            )
        self.ink.box(x, y, width, height, MIDDLE / 2)
        self.ink.write(x + width / 2, y + height + 7.6, self.picture.across, FINE, "centre")

    def _rule(self, start: Place, end: Place, tick: float) -> None:
        if tick:
            self.ink.rule(start, end, THIN, GREY)
        else:
            self.ink.rule(start, end, MIDDLE / 2)

    def _write_under(self, at: float, baseline: float, words: str) -> None:
        half = width_of(words, FINE) / 2 - 1.0
        self.ink.write(
            min(max(at, self.x + half), self.x + self.width - half), baseline, words, FINE, "centre"
        )

    def _paint_spot(self, at: Place, words: str) -> None:
        """Mark a place with a cross; its words stand below a rising curve, or above it."""
        x, y = at
        wide = width_of(words, FINE)
        right = wide <= self.x + self.width - x - 3.0
        left, baseline = (x + 2.2, y + 3.4) if right else (x - 2.2 - wide, y - 1.0)
        self.ink.clear(left - 0.3, baseline - FINE.rise - 0.3, wide + 0.6, FINE.rise + 0.9)
        self.ink.write(left, baseline, words, FINE)
        self.ink.rule((x - DOT, y - DOT), (x + DOT, y + DOT), MIDDLE)
        self.ink.rule((x - DOT, y + DOT), (x + DOT, y - DOT), MIDDLE)

    def _paint_unknown(self) -> None:
        x, y, width, height = self._field()
        self.ink.box(x, y, width, height, MIDDLE / 2)
        words = "not known: see what is missing"
        self.ink.write(x + width / 2, y + height / 2, words, FINE, "centre")

    def _figure(self, value: float, axis: Axis) -> str:
        text = number_of(value, "plain", "mm", decimal=self.decimal, places=axis.places)
        return text if text.strip("−0.,") else text.lstrip("−")
