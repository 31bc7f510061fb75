"""How long the window's loop pauses while a change is sought.

`python -m tests.benchmarks.bench_find_window` opens the window at 1600×1000, waits until all is at
rest, then counts the times between two turns of its loop: at rest, and while a search goes on
beside it, from the press on Find until the answers stand there; then what showing an answer takes.
Other programs on the machine lengthen the pauses: the rest beside them says by how much, and what
the window's own thread had of the processor in the longest turn is told by itself.
"""

from __future__ import annotations

import gc
import os
import statistics
import tempfile
import time
from collections.abc import Callable

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["HOME"] = tempfile.mkdtemp()  # settings and kept work of its own

from PySide6.QtWidgets import QApplication

from app.desk.finding.window import FindWindow
from app.desk.main import application
from app.desk.window import Window
from app.session.session import Session
from tests.helpers.sought import BUMP_STEER, CAMBER_GAIN, PIVOTS, TIE_ROD, saloon

RUNS, REST = 5, 3.0  # s


def pauses(until: Callable[[], bool]) -> tuple[list[float], float]:
    """Return the times between turns of the loop, 1 ms apart, and the most work of one [ms]."""
    times, most, last = [], 0.0, time.perf_counter()
    while not until():
        begun = time.thread_time()
        QApplication.processEvents()
        most = max(most, 1000.0 * (time.thread_time() - begun))
        time.sleep(0.001)
        now = time.perf_counter()
        times.append(1000.0 * (now - last))
        last = now
    return times, most


def told(what: str, turns: tuple[list[float], float]) -> None:
    times, most = turns
    ordered = sorted(times)
    late = ordered[int(0.99 * len(ordered))]
    middle = statistics.median(times)
    figures = f"median {middle:6.1f}  99 % {late:6.1f}  most {ordered[-1]:6.1f}"
    print(f"{what:28} {figures}  own work {most:6.1f} ms")


def rest(seconds: float) -> tuple[list[float], float]:
    end = time.perf_counter() + seconds
    return pauses(lambda: time.perf_counter() > end)


def main() -> None:
    application([])
    rooms = {**PIVOTS, **TIE_ROD}
    window = Window(Session(saloon(wants=(CAMBER_GAIN, BUMP_STEER), rooms=rooms)))
    window.resize(1600, 1000)
    window.show()
    window.bands.begin()
    rest(10.0)  # until bands have come
    gc.collect()
    gc.freeze()  # as after a start
    start = time.perf_counter()
    window.find_where()
    print(f"opening it {1000.0 * (time.perf_counter() - start):.0f} ms")
    found = window.findChild(FindWindow)
    assert found is not None
    for _ in range(RUNS):
        told("at rest", rest(REST))
        begun = time.perf_counter()
        start = time.perf_counter()
        found.seek.click()
        print(f"press on Find {1000.0 * (time.perf_counter() - start):.0f} ms")
        told("while a search goes on", pauses(lambda: bool(found.tables)))
        print(f"found after {time.perf_counter() - begun:.1f} s")
        start = time.perf_counter()
        found.answers.setCurrentCell(1, found.answers.columnCount() - 1)
        QApplication.processEvents()
        print(f"answer on the drawing {1000.0 * (time.perf_counter() - start):.0f} ms")
        rest(1.0)
        found.preview.give_way()
    window.session.saved(window.session.loaded)  # type: ignore[arg-type]
    window.close()


if __name__ == "__main__":
    main()
