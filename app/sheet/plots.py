"""Curves on paper: results over wheel travel, travel upright, measured dashed, proposed solid."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from app.document.units import shown
from app.drawing.axes import Axis, range_over, ticks_at_least
from app.drawing.chart import DASHES, Chart, Field, Frame
from app.paper.charts import WEIGHTS, ChartPaper
from app.paper.faces import FINE, SMALL, SMALL_STRONG
from app.paper.flow import Block, kept
from app.paper.ink import MIDDLE, Ink
from app.paper.parts import heading
from app.paper.sizes import Paper
from app.systems.answers import CAR_WORDS, CarName, Study
from app.systems.curves import curve_chart, curves_shown, least_span, swept_range
from app.words.results import result_unit
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass

HEIGHT: Final = 65.0  # of the row of plots with titles and figures [mm]
HEAD: Final = 9.5  # for titles
FIGURES: Final = 5.0  # for figures under a plot
BETWEEN: Final = 4.5
LEFT: Final = 7.5  # room for the figures of travel
FEWEST_ALONG: Final = 2  # figures of an axis
FEWEST_UP: Final = 3


def curve_blocks(
    study: Study[Any], paper: Paper, decimal: str, whose: str = "; left wheel"
) -> list[Block]:
    """Return the plots under their heading."""
    return kept(
        [
            heading("Curves", paper.margin),
            legend(study.changed, paper, study.setup.units, whose),
            curve_block(study, paper, decimal),
        ]
    )


def curve_block(
    study: Study[Any], paper: Paper, decimal: str, results: Sequence[Result] = ()
) -> Block:
    """Return a row of upright plots that share the figures of travel at the left."""
    results = results or curves_shown(study)
    count = len(results)
    width = (paper.inner - LEFT - (count - 1) * BETWEEN - 1.5) / count

    def paint(ink: Ink, top: float) -> None:
        for index, result in enumerate(results):
            x = paper.margin + LEFT + index * (width + BETWEEN)
            _Plot(ink, study, result, x, top, width, decimal).paint(figures=index == 0)

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
        self._paint_title()
        chart = curve_chart(self.study, "travel", self.result, self.study.setup.units)
        if not chart.values.size:
            self._paint_unknown()
            return
        ChartPaper(self.ink, chart, self._frame(chart), self.decimal).paint(figures)

    def _paint_title(self) -> None:
        unit = result_unit(self.result, self.study.setup.units)
        name, last = self.result.short, self.top + HEAD - 2.0
        room = self.width + BETWEEN - 1.0
        self.ink.write(self.x, last - (3.9 if unit else 0.0), name, SMALL_STRONG, width=room)
        self.ink.write(self.x, last, unit, SMALL)

    def _frame(self, chart: Chart) -> Frame:
        units = self.study.setup.units
        values = range_over(chart.values, least_span(self.result, units))
        low, high = swept_range(self.study, "travel")
        size = shown("length", units).size
        travel = low / size, high / size
        return Frame(
            self._field(),
            Axis(*travel, ticks_at_least(*travel, FEWEST_UP)),
            Axis(*values, ticks_at_least(*values, FEWEST_ALONG)),
            upright=True,
        )

    def _paint_unknown(self) -> None:
        field = self._field()
        self.ink.box(field.x, field.y, field.width, field.height, MIDDLE / 2)
        for index, words in enumerate(("not known:", "see what", "is missing")):
            baseline = field.y + field.height / 2 + 4.0 * (index - 1)
            self.ink.write(field.x + field.width / 2, baseline, words, FINE, "centre")

    def _field(self) -> Field:
        return Field(self.x, self.top + HEAD, self.width, HEIGHT - HEAD - FIGURES)


def legend(changed: bool, paper: Paper, units: str, whose: str = "; left wheel") -> Block:
    """Say which line is which, what is upright, and whose curves they are."""

    def paint(ink: Ink, top: float) -> None:
        x, y = paper.margin, top + 3.2
        words = f"Over wheel travel in {'mm' if units == 'mm' else 'inches'}, bump up"
        ink.write(x, y, f"{words}{whose}; a bar is a stop.", SMALL)
        looks: tuple[CarName, ...] = ("proposed", "measured") if changed else ("proposed",)
        at = paper.right
        for look in looks:
            ink.write(at, y, CAR_WORDS[look if changed else "measured"], SMALL, "right")
            ends = [(at - 34.0, y - 1.0), (at - 22.0, y - 1.0)]
            ink.chain(ends, WEIGHTS[look], DASHES[look])
            at -= 40.0

    return Block(4.5, paint, keeps=True)
