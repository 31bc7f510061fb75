"""Curves on a leaf: upright over travel, level over roll and steer; a unit beside every axis."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Final

from app.document.model import Units
from app.document.units import shown
from app.drawing.axes import Axis, range_over, ticks_at_most
from app.drawing.chart import DASHES, Chart, Field, Frame, Look
from app.export.leaf import Box, Imprint, Leaf, SecondCar, Sign, blank_leaf, signs_of
from app.paper.charts import WEIGHTS, ChartPaper
from app.paper.faces import FINE, SMALL_STRONG, width_of
from app.paper.ink import MIDDLE, Ink
from app.systems.answers import Study
from app.systems.curves import (
    KINDS,
    Driver,
    curve_chart,
    curves_shown,
    least_span,
    second_curve,
    stops_given,
    swept_range,
)
from app.words.results import result_unit
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass

TITLE: Final = 9.0  # over a plot: its name and unit, and what + means [mm]
UNDER: Final = 9.5  # figures and unit under a plot
LEFT: Final = 15.0  # figures and name of the upright axis
LEFT_ALONE: Final = 4.0  # left of an upright plot that bears no figures
ROWS: Final = 4.0  # between two rows
MOST_HIGH: Final = 130.0  # of a plot
IN_A_ROW: Final = {"travel": 6, "roll": 3, "steer": 3}
UP: Final = 9.0  # room of one figure of an upright axis
OVER: Final[dict[Driver, tuple[str, str]]] = {
    "travel": ("wheel travel", "+ bump"),
    "roll": ("body roll", "+ leans to the right"),
    "steer": ("steer", "+ to the left"),
}
SIDES: Final = ("Left wheel", "Right wheel")
FROM: Final = "Travel counts from where each car stands."
FROM_ONE: Final = "Travel counts from the measured height of the body, for both cars."
STOPS: Final = "A bar is a stop."


@dataclass(frozen=True)
class CurveChoice:
    """Which curves, over what and of which wheel; without results those that a page begins with."""

    driver: Driver = "travel"
    results: tuple[Result, ...] = ()
    side: int = 0
    in_body: bool = False


def curves_leaf(
    study: Study[Any], choice: CurveChoice, imprint: Imprint, second: SecondCar | None = None
) -> Leaf:
    """Return curves of both cars on a leaf, and of a second car as in the window."""
    study = study.system.whole(study)
    if second is not None:
        second = replace(second, study=second.study.system.whole(second.study))
    if not choice.results:
        choice = replace(choice, results=curves_shown(study))
    what = f"{study.system.title}: curves over {OVER[choice.driver][0]}"
    leaf = blank_leaf(study, what, imprint, second)

    def paint(ink: Ink, box: Box) -> None:
        for plot in _plots(study, choice, box, imprint.decimal, second):
            plot.paint(ink)

    of_wheels = any(result.scope == "wheel" for result in choice.results)
    words = [f"{SIDES[choice.side]}."] if of_wheels else []
    if choice.driver == "travel" and study.changed:
        words.append(FROM_ONE if choice.in_body else FROM)
    is_alone = second is not None and second.is_alone
    if choice.driver == "travel" and stops_given(study) and not is_alone:
        words.append(STOPS)
    looks: list[Look] = ["proposed", "measured"] if study.changed else ["proposed"]
    if second is not None:
        looks = ["second"] if is_alone else [*looks, "second"]
    signs = [
        Sign(WEIGHTS[look], DASHES[look], sign.words)
        for look, sign in zip(looks, signs_of(study, second=second), strict=True)
    ]
    return replace(leaf, signs=tuple(signs), note=" ".join(words), paint=paint)


@dataclass(frozen=True)
class _Plot:
    """A result's plot in its cell; the first of a row names the upright driver."""

    study: Study[Any]
    choice: CurveChoice
    result: Result
    x: float
    y: float
    width: float
    height: float
    is_first: bool
    decimal: str
    second: SecondCar | None = None

    @property
    def units(self) -> Units:
        """The units that are shown."""
        return self.study.setup.units

    def paint(self, ink: Ink) -> None:
        """Paint title, axes and curves."""
        unit, study = result_unit(self.result, self.units), self.study
        ink.write(self.x, self.y + 3.4, self.result.short, SMALL_STRONG, width=self.width)
        means = f"+ {self.result.plus}" if self.result.plus else ""
        ink.write(self.x, self.y + 7.2, means, FINE, width=self.width)
        choice = self.choice
        chart = curve_chart(
            study, choice.driver, self.result, self.units, choice.side, choice.in_body
        )
        if self.second is not None:
            chart = self._with(self.second, chart)
        if not chart.values.size:
            self._paint_unknown(ink)
            return
        bears = self.is_first or not chart.upright
        ChartPaper(ink, chart, self._frame(chart), self.decimal).paint(bears, LEFT - 5.0)
        self._name_axes(ink, f"{self.result.short}, {unit}" if unit else self.result.short)

    def _with(self, second: SecondCar, chart: Chart) -> Chart:
        """Return a chart with the second car's curve, or with that one alone."""
        choice, drawn = self.choice, self.result
        own = second_curve(
            second.study, choice.driver, drawn, self.units, choice.side, choice.in_body
        )
        lines = () if own is None else (own,)
        if second.is_alone:
            return replace(chart, series=lines, bands=(), notes=())
        return replace(chart, series=(*chart.series, *lines))

    def _name_axes(self, ink: Ink, result: str) -> None:
        field = self._field()
        name, way = OVER[self.choice.driver]
        driver_unit = shown(KINDS[self.choice.driver], self.units).unit
        driver = f"{name}, {driver_unit} ({way})"
        middle = field.x + field.width / 2
        if self.choice.driver != "travel":
            ink.write(middle, field.bottom + 8.0, driver, FINE, "centre", self.width)
            self._upright(ink, result)
            return
        ink.write(middle, field.bottom + 8.0, result, FINE, "centre", field.width)
        if self.is_first:
            self._upright(ink, driver)

    def _upright(self, ink: Ink, words: str) -> None:
        field = self._field()
        with ink.turned(field.x - LEFT + 4.0, field.y + field.height / 2):
            ink.write(0.0, 0.0, words, FINE, "centre")

    def _frame(self, chart: Chart) -> Frame:
        units, choice = self.units, self.choice
        size = shown(KINDS[choice.driver], units).size
        studies = [self.study, *((self.second.study,) if self.second else ())]
        ranges = [swept_range(each, choice.driver, choice.in_body) for each in studies]
        low, high = min(one for one, _ in ranges), max(one for _, one in ranges)
        driver = low / size, high / size
        value = range_over(chart.values, least_span(self.result, units))
        field = self._field()
        along, up = (value, driver) if chart.upright else (driver, value)
        level = Axis(*along, _ticks(along, field.width, self.decimal))
        upright = Axis(*up, ticks_at_most(*up, max(3, int(field.height / UP))))
        if chart.upright:
            return Frame(field, upright, level, upright=True)
        return Frame(field, level, upright, upright=False)

    def _field(self) -> Field:
        return Field(self.x, self.y + TITLE, self.width, self.height - TITLE - UNDER)

    def _paint_unknown(self, ink: Ink) -> None:
        field = self._field()
        ink.box(field.x, field.y, field.width, field.height, MIDDLE / 2)
        for index, words in enumerate(("not known:", "data are missing")):
            baseline = field.y + field.height / 2 + 4.0 * index
            ink.write(field.x + field.width / 2, baseline, words, FINE, "centre", field.width - 1.0)


def _plots(
    study: Study[Any], choice: CurveChoice, box: Box, decimal: str, second: SecondCar | None
) -> Sequence[_Plot]:
    """Return the plots, shared out over the rows of a box."""
    left, top, width, height = box
    results, is_upright = choice.results, choice.driver == "travel"
    columns = min(len(results), IN_A_ROW[choice.driver])
    rows = -(-len(results) // columns)
    high = min((height - (rows - 1) * ROWS) / rows, MOST_HIGH)
    beside = LEFT_ALONE if is_upright else LEFT
    wide = (width - LEFT - (columns - 1) * beside) / columns
    return [
        _Plot(
            study,
            choice,
            result,
            left + LEFT + (place % columns) * (wide + beside),
            top + (place // columns) * (high + ROWS),
            wide,
            high,
            place % columns == 0,
            decimal,
            second,
        )
        for place, result in enumerate(results)
    ]


def _ticks(ends: tuple[float, float], width: float, decimal: str) -> tuple[float, ...]:
    """Return the most ticks whose figures stand clear of each other."""
    for most in range(7, 2, -1):
        ticks = ticks_at_most(*ends, most)
        figures = Axis(*ends, ticks).figures(decimal)
        if sum(width_of(text, FINE) + 2.0 for text in figures) <= width:
            return ticks
    return ticks_at_most(*ends, 2)
