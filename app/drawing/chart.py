"""Curves as plain values, and as strokes on a page: painted alike on screen, sheet and pictures.

A chart is in shown units. Its strokes are laid out in the unit of a page, millimetres on paper and
pixels on a screen, x to the right, y down from the top left corner.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import field
from functools import cached_property
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from app.drawing.axes import Axis, Numbers, usual_ends
from geometry.dataclass import dataclass

Look = Literal["measured", "proposed", "bound", "edge", "second"]
Spot = tuple[float, float]  # the driver's value and the result's
Place = tuple[float, float]  # (x, y) on a page
Sign = Literal["cross", "ring", "dot", "note", "stop"]

_POLE: Final = 0.1  # of the least span: a smaller step isn't looked at
_ROUNDED: Final = 1e-6  # of the driver as shown: what is left of a sum
DASHES: Final[dict[Look, tuple[float, ...]]] = {  # in line widths
    "measured": (6.0, 3.0),
    "proposed": (),
    "bound": (),
    "edge": (1.5, 2.5),
    "second": (12.0, 3.0, 1.5, 3.0, 1.5, 3.0),
}
"""What lines mean: the car as measured, as proposed, the other limit of what may be, the edge of a
band, and another car that is laid over."""


@dataclass(frozen=True, eq=False)
class Series:
    """A curve: values over a driver, NaN where there are none.

    Parameters
    ----------
    at, values
        The driver and the values, shape (n,).
    look
        What the line means.
    ends
        Places at which the curve can't go on: they are crossed.
    least
        Two neighbours that lie no farther apart than this are joined, whatever they leap.
    stops
        The driver's values at which what is moved meets its stops.
    """

    at: Numbers
    values: Numbers
    look: Look = "proposed"
    ends: tuple[int, ...] = ()
    least: float = 0.0
    stops: tuple[float, ...] = ()

    @cached_property
    def pieces(self) -> tuple[slice, ...]:
        """Return the runs of two and more places that are joined by a line.

        A line ends where there is no value, and at a pole: where two neighbours lie farther apart
        than all the usual values, or the curve comes back from the far side.
        """
        good = np.isfinite(self.values)
        if not good.any():
            return ()
        steps = np.abs(np.diff(self.values))
        broken = (steps > self._leap(good)) | poles(self.values, _POLE * self.least)
        if good.all() and not broken.any():
            return (slice(0, len(self.values)),) if len(self.values) > 1 else ()
        joined = good[1:] & good[:-1] & ~broken
        edges = np.flatnonzero(np.diff(np.concatenate([[False], joined, [False]]).astype(np.int8)))
        return tuple(slice(int(a), int(b) + 1) for a, b in edges.reshape(-1, 2))

    def _leap(self, good: np.ndarray) -> float:
        low, high = usual_ends(self.values[good])
        return max(high - low, self.least)

    def value_at(self, place: float) -> float | None:
        """Return the value between two places, None where there is no line."""
        for piece in self.pieces:
            at, values = self.at[piece], self.values[piece]
            if at[0] > at[-1]:
                at, values = at[::-1], values[::-1]
            if at[0] <= place <= at[-1]:
                return float(np.interp(place, at, values))
        return None


def poles(values: Numbers, least: float) -> NDArray[np.bool_]:
    """Tell which steps between neighbours leap over a pole, of n values a mask of n - 1.

    The curve runs off faster and faster one way, and comes back slower and slower the same way,
    from the far side: the step between goes against both. Steps up to `least` are none.
    """
    steps = np.diff(values)
    leaps = np.zeros(steps.shape, dtype=bool)
    if steps.size < 5:
        return leaps
    first, before, here, after, last = (steps[i : i + steps.size - 4] for i in range(5))
    against = (before * here < 0) & (here * after < 0) & (first * before > 0) & (after * last > 0)
    size = np.abs(here)
    largest = (size > np.abs(before)) & (size > np.abs(after)) & (size > least)
    grows = (np.abs(before) > np.abs(first)) & (np.abs(after) > np.abs(last))
    leaps[2:-2] = against & largest & grows
    return leaps


@dataclass(frozen=True, eq=False)
class Band:
    """What lies between two curves over a driver; `look` as that of the curve within."""

    at: Numbers
    low: Numbers
    high: Numbers
    look: Look = "proposed"


@dataclass(frozen=True, slots=True)
class Note:
    """A place on a curve with words; `look` as that of its curve."""

    at: float
    value: float
    text: str
    look: Look = "proposed"


@dataclass(frozen=True, eq=False)
class Chart:
    """All that a chart shows; without curves, `empty` says why.

    `upright` lets the driver run upwards and the values along, as wheels move; `from_zero` lets
    both axes begin at nought.
    """

    series: tuple[Series, ...] = ()
    bands: tuple[Band, ...] = ()
    notes: tuple[Note, ...] = ()
    title: str = ""
    along: str = ""
    up: str = ""
    upright: bool = False
    from_zero: bool = False
    empty: str = ""
    spoken: str = ""

    @property
    def values(self) -> Numbers:
        """Return every value of the curves and bands that is there."""
        edges = [edge for band in self.bands for edge in (band.low, band.high)]
        arrays = [*(line.values for line in self.series), *edges]
        values = np.concatenate(arrays) if arrays else np.empty(0)
        return values[np.isfinite(values)]

    @property
    def drivers(self) -> Numbers:
        """Return every place of the driver at which there is a curve or a gap in it."""
        arrays = [line.at for line in self.series]
        return np.concatenate(arrays) if arrays else np.empty(0)


# Where it lies


@dataclass(frozen=True, slots=True)
class Field:
    """The rectangle of a page in which the curves are drawn."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Return the right edge."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """Return the lower edge."""
        return self.y + self.height


@dataclass(frozen=True, slots=True)
class Frame:
    """Where a chart's axes lie on a page."""

    field: Field
    driver: Axis
    value: Axis
    upright: bool = False

    @property
    def across(self) -> Axis:
        """Return the axis that runs along the page."""
        return self.value if self.upright else self.driver

    @property
    def up(self) -> Axis:
        """Return the axis that runs up the page."""
        return self.driver if self.upright else self.value

    def x_of(self, value: float) -> float:
        """Return where a value of the axis along the page lies."""
        return self.field.x + self.field.width * self.across.share(value)

    def y_of(self, value: float) -> float:
        """Return where a value of the upright axis lies."""
        return self.field.bottom - self.field.height * self.up.share(value)

    def place(self, at: float, value: float) -> Place:
        """Return the place of a spot."""
        return (
            (self.x_of(value), self.y_of(at)) if self.upright else (self.x_of(at), self.y_of(value))
        )

    def places(self, at: Numbers, values: Numbers) -> list[Place]:
        """Return the places of many spots."""
        across, up = (values, at) if self.upright else (at, values)
        field, along, high = self.field, self.across, self.up
        x = field.x + (across - along.low) * (field.width / along.span)
        y = field.bottom - (up - high.low) * (field.height / high.span)
        return list(zip(x.tolist(), y.tolist(), strict=True))

    def driver_at(self, x: float, y: float) -> float | None:
        """Return the driver's value at a place of the page, None outside the field."""
        field = self.field
        if not (field.x <= x <= field.right and field.y <= y <= field.bottom):
            return None
        share = (field.bottom - y) / field.height if self.upright else (x - field.x) / field.width
        return self.driver.value_at(share)


# Its strokes


@dataclass(frozen=True, slots=True)
class Rule:
    """A straight line of the net; `zero` where it stands for nought."""

    start: Place
    end: Place
    zero: bool = False


@dataclass(frozen=True, slots=True)
class Trace:
    """A piece of a curve."""

    places: Sequence[Place]
    look: Look


@dataclass(frozen=True, slots=True)
class Area:
    """The inside of a band."""

    places: Sequence[Place]
    look: Look = "proposed"


@dataclass(frozen=True, slots=True)
class Mark:
    """A sign of constant size at a place."""

    at: Place
    sign: Sign
    look: Look = "proposed"


@dataclass(frozen=True, slots=True)
class Strokes:
    """A chart's strokes in the order in which they are painted."""

    areas: tuple[Area, ...] = ()
    traces: tuple[Trace, ...] = ()
    marks: tuple[Mark, ...] = ()


@dataclass(frozen=True, slots=True)
class Net:
    """The net under the curves: rules, and the axes' figures with their places.

    Figures along the page are centred at an x, upright ones stand at a y.
    """

    rules: tuple[Rule, ...] = ()
    across: tuple[tuple[float, str], ...] = ()
    up: tuple[tuple[float, str], ...] = field(default_factory=tuple)


def strokes_of(chart: Chart, frame: Frame) -> Strokes:
    """Return bands, curves, and the marks where curves can't go on, meet a stop, or are noted."""
    traces = [
        Trace(frame.places(series.at[piece], series.values[piece]), series.look)
        for series in chart.series
        for piece in series.pieces
    ]
    areas = [
        Area([*_edge(frame, band, band.low), *_edge(frame, band, band.high)[::-1]], band.look)
        for band in chart.bands
    ]
    return Strokes(tuple(areas), tuple(traces), tuple(_marks(chart, frame)))


def _edge(frame: Frame, band: Band, values: Numbers) -> list[Place]:
    return frame.places(band.at, values)


def _marks(chart: Chart, frame: Frame) -> Iterator[Mark]:
    for series in chart.series:
        for place in series.ends:
            spot = float(series.at[place]), float(series.values[place])
            yield Mark(frame.place(*spot), "cross", series.look)
        for stop in series.stops:
            end = float(series.at[np.abs(series.at - stop).argmin()])
            at = end if abs(end - stop) < _ROUNDED else stop
            value = series.value_at(at)
            if value is not None:
                yield Mark(frame.place(at, value), "stop", series.look)
    for note in chart.notes:
        yield Mark(frame.place(note.at, note.value), "note", note.look)


def pose_marks(
    frame: Frame, measured: Spot | None, proposed: Spot | None, second: Spot | None = None
) -> tuple[Mark, ...]:
    """Return the marks of a pose: a ring for the measured car, a dot for the proposed one.

    A `second` car that is laid over has a ring in its own ink.
    """
    ring = () if measured is None else (Mark(frame.place(*measured), "ring", "measured"),)
    dot = () if proposed is None else (Mark(frame.place(*proposed), "dot"),)
    other = () if second is None else (Mark(frame.place(*second), "ring", "second"),)
    return (*ring, *other, *dot)


def net_of(frame: Frame, decimal: str) -> Net:
    """Return rules and figures at the ticks of both axes."""
    field, across, up = frame.field, frame.across, frame.up
    x = [frame.x_of(tick) for tick in across.ticks]
    y = [frame.y_of(tick) for tick in up.ticks]
    rules = [
        *(
            Rule((at, field.y), (at, field.bottom), tick == 0)
            for at, tick in zip(x, across.ticks, strict=True)
        ),
        *(
            Rule((field.x, at), (field.right, at), tick == 0)
            for at, tick in zip(y, up.ticks, strict=True)
        ),
    ]
    return Net(
        tuple(rules),
        tuple(zip(x, across.figures(decimal), strict=True)),
        tuple(zip(y, up.figures(decimal), strict=True)),
    )


def kept_apart(
    figures: Sequence[tuple[float, str]],
    ends: tuple[float, float],
    width_of: Callable[[str], float],
    gap: float,
) -> list[tuple[float, str]]:
    """Return figures moved between two ends, without those that would stand on one before."""
    spaced_texts: list[tuple[float, str]] = []
    free = ends[0]
    for centre, text in figures:
        half = width_of(text) / 2
        at = min(max(centre, ends[0] + half), ends[1] - half)
        if at - half >= free:
            spaced_texts.append((at, text))
            free = at + half + gap
    return spaced_texts
