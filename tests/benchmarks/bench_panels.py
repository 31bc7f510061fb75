"""Time that panels take of a drag: `python tests/benchmarks/bench_panels.py [scale]`.

A point is previewed to and fro; each panel's share is timed with the rest of the window away.
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from collections.abc import Callable

from tests.helpers.project import SAMPLE_FOLDER

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
if len(sys.argv) > 1:
    os.environ["QT_SCALE_FACTOR"] = sys.argv[1]

from PySide6.QtWidgets import QApplication, QWidget

from app.document.files import read_setup
from app.panels.curves.curves import CurvesPanel
from app.panels.lists.changes import ChangesPanel
from app.panels.lists.points import PointsPanel
from app.panels.lists.results import ResultsPanel
from app.panels.lists.sentences import SentencesPanel
from app.panels.strip import PoseStrip
from app.session.session import Session
from app.systems.every import LIMIT_KINDS
from tests.helpers.setup_edits import move_point

ROUNDS = 200
SAMPLE = SAMPLE_FOLDER / "small_saloon.toml"
SIZES: dict[type[QWidget], tuple[int, int]] = {
    QWidget: (10, 10),
    ChangesPanel: (260, 260),
    PointsPanel: (260, 600),
    ResultsPanel: (330, 700),
    SentencesPanel: (330, 220),
    PoseStrip: (1600, 46),
    CurvesPanel: (640, 420),
}


def drag_times(session: Session, app: QApplication) -> list[float]:
    """Return the time of each event of a drag, solved, told and painted [ms]."""
    setup, times = session.history.value, []
    for count in range(ROUNDS):
        edited = move_point(setup, 0, "front.upper_front", (0.0, 0.0, 0.1 * (count % 80 - 40)))
        start = time.perf_counter()
        session.preview(edited)
        app.processEvents()
        times.append(1000 * (time.perf_counter() - start))
    session.cancel()
    return sorted(times[20:])


def measure(kind: Callable[[Session], QWidget], size: tuple[int, int], app: QApplication) -> str:
    """Return median and 99th percentile of a drag's events with one panel in view."""
    session = Session(read_setup(SAMPLE, limit_kinds=LIMIT_KINDS).setup)
    session.set_active(0)
    panel = kind(session) if kind is not QWidget else QWidget()
    panel.resize(*size)
    panel.show()
    for _ in range(10):
        app.processEvents()
        time.sleep(0.01)
    times = drag_times(session, app)
    panel.close()
    return f"median {statistics.median(times):6.2f} ms   p99 {times[-2]:6.2f} ms"


def main() -> None:
    app = QApplication([])
    for kind, size in SIZES.items():
        name = "solving alone" if kind is QWidget else kind.__name__
        print(f"{name:16} {measure(kind, size, app)}")


if __name__ == "__main__":
    main()
