"""Time of painting one view, and of its parts: `python tests/benchmarks/bench_view.py [scale]`."""

from __future__ import annotations

import os
import statistics
import sys
import time
from collections.abc import Callable

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
if len(sys.argv) > 1:
    os.environ["QT_SCALE_FACTOR"] = sys.argv[1]

from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QApplication

from app.board.view import BoardView
from app.drawing.layout import lay_out
from app.drawing.views import View
from app.paint.lettering import screen_lettering
from app.paint.painter import Medium
from app.paint.palette import PALETTES
from tests.helpers.demo_drawing import demo_drawing

ROUNDS = 300


class TimedView(BoardView):
    """A view that notes how long its paint events take."""

    def __init__(self) -> None:
        super().__init__(View.FRONT)
        self.times: list[float] = []

    def paintEvent(self, event: QPaintEvent) -> None:
        start = time.perf_counter()
        super().paintEvent(event)
        self.times.append(1000 * (time.perf_counter() - start))


def report(name: str, work: Callable[[], object]) -> None:
    for _ in range(20):
        work()
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        times.append(1000 * (time.perf_counter() - start))
    tell(name, times)


def tell(name: str, times: list[float]) -> None:
    times.sort()
    print(f"{name:32} median {statistics.median(times):6.3f} ms   p99 {times[-3]:6.3f} ms")


def main() -> None:
    app = QApplication([])
    view = TimedView()
    view.resize(1000, 600)
    drawing = demo_drawing(View.FRONT)
    view.set_drawing(drawing)
    view.show()
    app.processEvents()
    medium = Medium(PALETTES["light"], screen_lettering(), on_screen=True)
    area = (40.0, 0.0, 960.0, 582.0)
    slots = lay_out(drawing, view.frame, area, medium.lettering.measure).slots

    def new_layout() -> None:
        lay_out(drawing, view.frame, area, medium.lettering.measure)

    def next_layout() -> None:
        lay_out(drawing, view.frame, area, medium.lettering.measure, 1.0, slots)

    print(f"{len(drawing.strokes)} strokes, device pixel ratio {view.devicePixelRatioF()}")
    report("layout, first", new_layout)
    report("layout, next frame", next_layout)
    for _ in range(ROUNDS):
        view.update()
        app.processEvents()
    tell("whole paint event", view.times[20:])


if __name__ == "__main__":
    main()
