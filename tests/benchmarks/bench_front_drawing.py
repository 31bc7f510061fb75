"""Time of drawing a front in three views, and of sheets; run it as a script."""

from __future__ import annotations

import os
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from app.systems.answers import Pose
from app.systems.front.drawing.drawing import front_drawings
from app.systems.front.study import at_pose
from app.systems.front.system import FRONT
from app.systems.shown import Shown
from tests.helpers.sheets import printed, printed_whole, sample, with_all_on


def report(name: str, work: Callable[[], object], rounds: int) -> None:
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(1000 * (time.perf_counter() - start))
    print(f"{name:30} median {statistics.median(times):8.2f} ms, first {times[0]:8.2f} ms")


def main() -> None:
    setup = sample("small_saloon")
    done = FRONT.study(setup)
    pose = Pose(travel=20.0, roll=0.03, steer=10.0)
    shown = Shown(done, at_pose(done.proposed.front, pose), at_pose(done.measured.front, pose))
    report("all views", lambda: front_drawings(shown), 300)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "sheet.pdf"
        report("sheet as PDF", lambda: printed(setup, path), 10)
        every_job = with_all_on(setup)
        report("sheet of both ends as PDF", lambda: printed_whole(every_job, path), 10)


if __name__ == "__main__":
    main()
