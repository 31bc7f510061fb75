"""A drawn result beside a dragged point: `python -m tests.benchmarks.bench_drawn`.

No window: what a frame asks of the session, of the front of the small saloon with room for both
upper pivots and the lateral link. The parts take turns, since the machine is never quiet for long.
Models are worked out between the press and the first move, now and then with a later one; what
stays is sought where the hand rests, before it lets go. Both are told as well: at the press, and
at rest. Times are those of the thread, told as ratios to a point's median frame too, with targets.
"""

from __future__ import annotations

import os
import statistics
import time
from collections.abc import Callable
from functools import partial
from typing import NamedTuple

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QCoreApplication

from app.document.model import FrozenMap
from app.document.plans import Room
from app.drawing.views import View
from app.gestures.draw_result import RESTS, DrawResult
from app.gestures.move_points import MovePoints
from app.judge.drawn import Drawn
from app.session.session import Session
from tests.helpers.sought import saloon

PARTS, MOVES = 6, 40
Work = Callable[[], object]
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


class Run(NamedTuple):
    """What the parts of a drag take [ms]: the turns after the press, each move, the turns at rest
    before letting go, and that."""

    press: float
    moves: list[float]
    rest: float
    let_go: float


def point(session: Session) -> Run:
    """Drag a point."""
    hand = MovePoints(session)

    def press() -> None:
        hand.begin(UPPER, (0.0, 0.0), View.FRONT)

    return timed(press, lambda by: hand.move((0.0, -by), free=True), hand.commit)


def result(session: Session, *keys: str) -> Run:
    """Draw results."""
    hand, drawn = DrawResult(session), Drawn("front", keys)

    def press() -> None:
        hand.begin(drawn)
        hand.prepare(drawn)

    return timed(press, lambda by: hand.move([-by] * len(keys), free=True), hand.commit)


def timed(press: Work, move: Callable[[float], None], commit: Work) -> Run:
    """Return how long the parts of a drag take [ms]."""
    pressed = spent(lambda: (press(), turns(0.02)))
    times = [spent(partial(move, by)) for by in path()[1:-1]]
    rested = spent(lambda: turns(RESTS / 1000.0 + 0.05))
    return Run(pressed, times, rested, spent(commit))


def turns(seconds: float) -> None:
    """Let the loop turn."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        QCoreApplication.processEvents()
        time.sleep(0.001)


def spent(work: Callable[[], object]) -> float:
    """Return what some work takes of the processor [ms]."""
    start = time.thread_time()
    work()
    return 1e3 * (time.thread_time() - start)


def main() -> None:
    """Print the median frame, the first and the longest one, letting go and the rest, of each."""
    app = QCoreApplication([])
    kinds = {
        "point": point,
        "roll centre": lambda session: result(session, "roll_centre_height"),
        "instant centre": lambda session: result(session, "instant_centre_y", "instant_centre_z"),
    }
    told: dict[str, list[Run]] = {name: [] for name in kinds}
    for _ in range(PARTS):
        for name, work in kinds.items():
            session = Session(saloon(rooms=FrozenMap(ROOMS)))
            told[name].append(work(session))
            app.processEvents()
    frame = statistics.median(each for run in told["point"] for each in run.moves)
    print("ms of the processor, in brackets frames of a point; targets: first <= 3, let go <= 4")
    heads = ("frame", "first", "longest", "let go", "press", "at rest")
    print(" " * 14, *(f"{head:>14}" for head in heads))
    for name, runs in told.items():
        columns = (
            [each for run in runs for each in run.moves[1:]],
            [run.moves[0] for run in runs],
            [max(run.moves[1:]) for run in runs],
            [run.let_go for run in runs],
            [run.press for run in runs],
            [run.rest for run in runs],
        )
        medians = [statistics.median(column) for column in columns]
        print(f"{name:14}", *(f"{each:7.1f} ({each / frame:4.1f})" for each in medians))


if __name__ == "__main__":
    main()
