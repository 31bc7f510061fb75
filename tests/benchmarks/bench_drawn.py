"""A drawn result beside a dragged point: `python -m tests.benchmarks.bench_drawn`.

No window: what a frame asks of the session, of the front of the small saloon with room for both
upper pivots and the lateral link. The parts take turns, since the machine is never quiet for long.
The first move works models out, and now and then a later one; what stays is sought on release.
"""

from __future__ import annotations

import os
import statistics
import time

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QCoreApplication

from app.document.model import FrozenMap
from app.document.plans import Room
from app.drawing.views import View
from app.gestures.draw_result import DrawResult
from app.gestures.move_points import MovePoints
from app.judge.drawn import Drawn
from app.session.session import Session
from tests.helpers.sought import saloon

PARTS, MOVES = 6, 40
UPPER = "front.upper_front"
ROOMS = {
    UPPER: Room(y=(-8.0, 8.0), z=(-30.0, 10.0)),
    "front.upper_rear": Room(y=(-8.0, 8.0), z=(-30.0, 10.0)),
    "front.lower_rear": Room(z=(-12.0, 12.0)),
}


def path() -> list[float]:
    """Return where a hand goes, there and back [mm]."""
    there = [0.5 * number for number in range(MOVES // 2)]
    return [*there, *reversed(there)]


def point(session: Session) -> tuple[list[float], float]:
    """Drag a point; return the time of each move and of letting go [ms]."""
    hand = MovePoints(session)
    hand.begin(UPPER, (0.0, 0.0), View.FRONT)
    return timed(lambda by: hand.move((0.0, -by), free=True), hand.commit)


def result(session: Session, *keys: str) -> tuple[list[float], float]:
    """Draw results; return the time of each move and of letting go [ms]."""
    hand = DrawResult(session)
    hand.begin(Drawn("front", keys))
    return timed(lambda by: hand.move([-by] * len(keys), free=True), hand.commit)


def timed(move, commit) -> tuple[list[float], float]:  # type: ignore[no-untyped-def]
    """Return how long moves and letting go take [ms]."""
    times = []
    for by in path()[1:-1]:
        start = time.perf_counter()
        move(by)
        times.append(1e3 * (time.perf_counter() - start))
    start = time.perf_counter()
    commit()
    return times, 1e3 * (time.perf_counter() - start)


def main() -> None:
    """Print the median frame, the first and the longest one, and letting go, of each."""
    app = QCoreApplication([])
    kinds = {
        "point": point,
        "roll centre": lambda session: result(session, "roll_centre_height"),
        "instant centre": lambda session: result(session, "instant_centre_y", "instant_centre_z"),
    }
    told: dict[str, list[tuple[list[float], float]]] = {name: [] for name in kinds}
    for _ in range(PARTS):
        for name, work in kinds.items():
            session = Session(saloon(rooms=FrozenMap(ROOMS)))
            told[name].append(work(session))
            app.processEvents()
    print("ms              median   first longest  let go")
    for name, runs in told.items():
        columns = (
            [each for times, _ in runs for each in times[1:]],
            [times[0] for times, _ in runs],
            [max(times[1:]) for times, _ in runs],
            [last for _, last in runs],
        )
        print(f"{name:14}", *(f"{statistics.median(column):7.1f}" for column in columns))


if __name__ == "__main__":
    main()
