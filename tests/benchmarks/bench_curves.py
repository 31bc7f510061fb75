"""Time of the curves panel's repaint in a drag: `python -m tests.benchmarks.bench_curves`.

Six plots of both cars, as strokes and, in the same process, as the plotting library paints them
with all that a reader doesn't need switched off. Each takes new curves and is painted at once.
"""

from __future__ import annotations

import os
import statistics
import time
from collections.abc import Callable

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import pyqtgraph as pg
from PySide6.QtWidgets import QApplication, QWidget

from app.document.files import read_setup
from app.panels.curves.curves import CurvesPanel
from app.session.session import Session
from app.systems.answers import Study
from app.systems.curves import Driver, curve_chart
from app.systems.every import LIMIT_KINDS
from app.systems.front.study import FrontAnswers
from geometry.catalogue.result import CURVES_SHOWN, plotted_first
from tests.helpers.project import SAMPLE_FOLDER
from tests.helpers.setup_edits import move_point

ROUNDS = 200
SIZE = (640, 420)
TRAVEL: Driver = "travel"


class Library(pg.GraphicsLayoutWidget):  # type: ignore[misc]
    """The same six plots as the plotting library paints them, without heads and dots."""

    def __init__(self) -> None:
        super().__init__()
        self.curves = []
        for place in range(CURVES_SHOWN):
            plot = self.addPlot(row=place // 3, col=place % 3)
            plot.setMouseEnabled(False, False)
            plot.hideButtons()
            pair = []
            for width, dashes in ((1.1, [6.0, 3.0]), (2.0, None)):
                item = pg.PlotCurveItem(connect="finite", antialias=True)
                item.setSegmentedLineMode("off")
                item.setPen(pg.mkPen("#123f4c", width=width, dash=dashes))
                plot.addItem(item)
                pair.append(item)
            self.curves.append(pair)
            plot.disableAutoRange()
        self.resize(*SIZE)

    def show_study(self, made: Study[FrontAnswers]) -> None:
        """Draw a study's curves."""
        for result, pair in zip(plotted_first(made.results), self.curves, strict=True):
            chart = curve_chart(made, TRAVEL, result, "mm")
            for series, item in zip(chart.series, pair, strict=True):
                item.setData(series.values, series.at)


def timed(show: Callable[[Study], object], widget: QWidget, studies: list[Study]) -> list[float]:
    """Return the processor times of new curves, painted [ms]."""
    times = []
    for count in range(ROUNDS):
        made = studies[count % len(studies)]
        start = time.thread_time()
        show(made)
        widget.update()
        QApplication.processEvents()
        times.append(1000 * (time.thread_time() - start))
    return sorted(times[20:])


def tell(name: str, times: list[float]) -> None:
    print(f"{name:24} median {statistics.median(times):6.2f} ms   p99 {times[-2]:6.2f} ms")


def main() -> None:
    app = QApplication([])
    setup = read_setup(SAMPLE_FOLDER / "small_saloon.toml", limit_kinds=LIMIT_KINDS).setup
    session = Session(setup)
    studies = []
    for step in range(20):
        session.preview(move_point(setup, 0, "front.upper_front", (0.0, 0.0, 0.5 * (step - 10))))
        assert isinstance(session.study, Study[FrontAnswers])
        studies.append(session.study)
    panel = CurvesPanel(session)
    library = Library()
    for widget in (panel, library):
        widget.resize(*SIZE)
        widget.show()
        for _ in range(20):
            app.processEvents()
            time.sleep(0.005)
    sheet = panel.sheet
    assert sheet is not None

    def show(made: Study[FrontAnswers]) -> None:
        session.study = made
        session.curves_changed.emit()

    for _ in range(3):
        tell("strokes, heads and all", timed(show, QWidget(), studies))
        tell("plotting library", timed(library.show_study, library.viewport(), studies))


if __name__ == "__main__":
    main()
