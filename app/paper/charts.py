"""Charts on paper: net, frame and figures, curves inside it, and marks with their words."""

from __future__ import annotations

from typing import Final

from app.drawing.chart import DASHES, Chart, Frame, Look, Place, kept_apart, net_of, strokes_of
from app.paper.faces import FINE, width_of
from app.paper.ink import GREY, MIDDLE, THICK, THIN, Ink
from geometry.dataclass import dataclass

WEIGHTS: Final[dict[Look, float]] = {
    "measured": MIDDLE,
    "proposed": THICK,
    "bound": THIN,
    "edge": THIN,
    "second": MIDDLE,
}
OVER: Final = 1.0  # by which the outermost figures may stand beyond the plot's corners [mm]
UNDER: Final = 3.6  # from the plot's edge to the line on which its figures stand [mm]
ARM: Final = 0.9  # of a cross [mm]
STOP: Final = 1.2  # half the bar at a stop [mm]


@dataclass(frozen=True)
class ChartPaper:
    """Where a chart is painted on a page."""

    ink: Ink
    chart: Chart
    frame: Frame
    decimal: str

    def paint(self, figures: bool = True, room: float | None = None) -> None:
        """Paint net, frame and curves; upright figures, fitted into `room`, if asked [mm]."""
        self._paint_net(figures, room)
        field, strokes = self.frame.field, strokes_of(self.chart, self.frame)
        with self.ink.inside(field.x, field.y, field.width, field.height):
            for area in strokes.areas:  # edges too: a copier may drop the wash
                self.ink.wash(area.places)
                half = len(area.places) // 2
                for edge in (area.places[:half], area.places[half:]):
                    self.ink.chain(edge, WEIGHTS["edge"], DASHES["edge"])
            for trace in strokes.traces:
                self.ink.chain(trace.places, WEIGHTS[trace.look], DASHES[trace.look])
            for mark in strokes.marks:
                if mark.sign == "stop":
                    (x, y), pen = mark.at, WEIGHTS[mark.look]
                    self.ink.rule((x - STOP, y), (x + STOP, y), pen)
        noted = (mark for mark in strokes.marks if mark.sign == "note")
        for mark, note in zip(noted, self.chart.notes, strict=True):
            self._paint_note(mark.at, note.text)

    def _paint_net(self, figures: bool, room: float | None) -> None:
        field, net = self.frame.field, net_of(self.frame, self.decimal)
        for rule in net.rules:
            if rule.zero:
                self.ink.rule(rule.start, rule.end, MIDDLE / 2)
            else:
                self.ink.rule(rule.start, rule.end, THIN, GREY)
        ends = field.x - OVER, field.right + OVER
        for x, words in kept_apart(net.across, ends, lambda text: width_of(text, FINE), 1.0):
            self.ink.write(x, field.bottom + UNDER, words, FINE, "centre")
        for y, words in net.up if figures else ():
            self.ink.write(field.x - 1.0, y + 1.1, words, FINE, "right", room)
        self.ink.box(field.x, field.y, field.width, field.height, MIDDLE / 2)

    def _paint_note(self, at: Place, words: str) -> None:
        """Mark a place with a cross; its words stand below a rising curve, or above it."""
        x, y = at
        wide = width_of(words, FINE)
        right = wide <= self.frame.field.right - x - 3.0
        left, baseline = (x + 2.2, y + 3.4) if right else (x - 2.2 - wide, y - 1.0)
        self.ink.clear(left - 0.3, baseline - FINE.rise - 0.3, wide + 0.6, FINE.rise + 0.9)
        self.ink.write(left, baseline, words, FINE)
        self.ink.rule((x - ARM, y - ARM), (x + ARM, y + ARM), MIDDLE)
        self.ink.rule((x - ARM, y + ARM), (x + ARM, y - ARM), MIDDLE)
