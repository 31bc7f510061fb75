"""Bands: many cars against the yardstick, and a drag with and without them.

`python -m tests.benchmarks.bench_bands`. The yardstick R is the loop of bench_front. First 2,000
cars in 31 poses, as found and as built, in one process. Then a drag of both ends of a sample in a
window, moves at 125 Hz: what a frame takes with the bands' process at work and without it, and how
long after a move the bands of that very setup are there. Nothing here is asserted.
"""

from __future__ import annotations

import os
import statistics
import tempfile
import time
from collections.abc import Iterator
from typing import Any

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["HOME"] = tempfile.mkdtemp()  # settings and kept work of its own

import numpy as np
from PySide6.QtCore import QCoreApplication

from app.desk.main import application
from app.desk.window import Window
from app.document.edits import move_points
from app.document.files import read_setup
from app.document.model import Change, FrozenMap, Setup
from app.document.samples import first_sample
from app.judge.banded import study_bands
from app.judge.cars import built_of, errors_of, found_of, measured_off
from app.judge.known import knowledge
from app.session.session import Session
from app.systems.banded import QUICK, StudyBands
from app.systems.every import BY_KEY, LIMIT_KINDS
from app.systems.front.system import FRONT
from tests.benchmarks.bench_rear import setup_with
from tests.benchmarks.yardstick import median, root_loop, spent
from tests.helpers.front_setups import front_setup

PERIOD = 0.008  # s between the events of a hand's mouse
MOVES = 150
CARS, POSES = 2000, 31
FEW = ("camber", "toe", "roll_centre_height")
POINTS = {"front": "front.upper_front", "rear": "rear.front_eye"}


def many_cars() -> None:
    loop = root_loop()
    yard = median([spent(loop) for _ in range(20)]).processor
    lowered = Change("lower", moves=FrozenMap({"front.upper_front": (0.0, 0.0, -15.0)}))
    setup = front_setup(changes=(lowered,))
    evidence = FrozenMap({**setup.evidence, "sheet.measured_within": 1.5})
    setup = setup.having(evidence=evidence)
    study, known = FRONT.study(setup), knowledge(setup, FRONT.concerns)
    cars = list(measured_off(setup, known, errors_of(CARS, len(known.readings))))
    poses = {"travel": np.linspace(-80.0, 80.0, POSES)}
    for name, work in (("found", found_of), ("built", built_of)):
        took = median([spent(lambda: work(study, cars, FEW, poses)) for _ in range(3)]).processor  # noqa: B023
        print(f"{CARS} cars x {POSES} poses, as {name}: {took:.0f} ms, {took / yard:.1f} R of 8")


def sample_with_work(end: str) -> Setup:
    """A sample that has a change of this end, which a drag adds to."""
    setup = read_setup(first_sample(), limit_kinds=LIMIT_KINDS).setup
    return setup.having(changes=(Change("drag", moves=FrozenMap({POINTS[end]: (0.0, 0.0, -5.0)})),))


def pump(until: Any, seconds: float = 60.0) -> None:
    end = time.monotonic() + seconds
    while not until() and time.monotonic() < end:
        QCoreApplication.processEvents()
        time.sleep(0.001)


def drag(end: str, with_bands: bool) -> None:
    session = Session(sample_with_work(end))
    window = Window(session)
    window.resize(1600, 1000)
    window.show()
    session.show(BY_KEY[end])
    if not with_bands:
        session.study_changed.disconnect(window.bands._follow)
        session.study_completed.disconnect(window.bands._rest.start)
        window.bands._rest.stop()
    pump(lambda: session.face.bands_of == session.setup, 60.0 if with_bands else 1.0)
    previews: dict[Setup, float] = {}
    delays: list[float] = []
    take = session.take_bands

    def timed(system: str, setup: Setup, bands: StudyBands | None) -> None:
        take(system, setup, bands)
        if bands is not None and bands.level == QUICK and setup in previews:
            delays.append(time.monotonic() - previews[setup])

    session.take_bands = timed  # type: ignore[method-assign]
    frames, works, due = [], [], time.monotonic()
    for step in range(MOVES):
        due = max(due + PERIOD, time.monotonic())
        pump(lambda: time.monotonic() >= due)  # noqa: B023
        there = step % 60
        up = 0.1 * (there if there < 30 else 60 - there) + 1e-4 * step
        moved = move_points(session.history.value, 0, (POINTS[end],), (0.0, 0.0, up))
        start, begun = time.monotonic(), time.thread_time()
        previews[moved] = start
        session.preview(moved)
        QCoreApplication.processEvents()
        frames.append(1000.0 * (time.monotonic() - start))
        works.append(1000.0 * (time.thread_time() - begun))
    last = session.setup
    pump(lambda: (len(delays) > 0 and not with_bands) or session.preview_setup is not last, 0.5)
    session.cancel()
    worst = float(np.percentile(frames, 99))
    words = [f"{end}, {'with' if with_bands else 'without'} bands"]
    words.append(f"frame {statistics.median(frames):.1f} ms, 1 in 100 over {worst:.1f} ms")
    words.append(f"{statistics.median(works):.1f} ms of the processor")
    if delays:
        late = sorted(1000.0 * delay for delay in delays)
        words.append(f"bands {statistics.median(late):.0f} ms after the move, worst {late[-1]:.0f}")
        words.append(f"{len(late)} times")
    print(*words, sep=", ")
    window.close()


def quick_cases() -> Iterator[tuple[str, str, Setup, str]]:
    """Yield a name, an end, a setup whose first change that is on moves a point, and the point."""
    for end in POINTS:
        yield end, end, sample_with_work(end), POINTS[end]
    yield "rear with bars", "rear", setup_with("small_saloon", "Traction bars"), POINTS["rear"]
    helpers = setup_with("inch_sedan", "Blocks 1 1/4 in, longer U-bolts")
    yield "rear with helpers", "rear", helpers, POINTS["rear"]
    links = setup_with("hillclimb_special", "Lateral link level")
    yield "rear on links", "rear", links, "rear.upper_body"


def quick_work() -> None:
    """What quick bands of one setup take of the processor, the car as found being known."""
    loop = root_loop()
    for name, end, setup, point in quick_cases():
        index = next(place for place, change in enumerate(setup.changes) if change.on)
        times, loops = [], []
        for step in range(8):
            moved = move_points(setup, index, (point,), (0.0, 0.0, 0.1 * step))
            study = BY_KEY[end].study(moved, short=True)
            times.append(spent(lambda: list(study_bands(study, QUICK))))  # noqa: B023
            loops.append(spent(loop))
        took, yard = median(times[1:]).processor, median(loops).processor
        print(f"{name}, quick bands: {took:.0f} ms of the processor, {took / yard:.1f} R of 3")


def main() -> None:
    many_cars()
    quick_work()
    application([])
    for end in POINTS:
        drag(end, with_bands=False)
        drag(end, with_bands=True)


if __name__ == "__main__":
    main()
