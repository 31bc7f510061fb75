"""Time from a drag event to the painted frame: `python -m tests.benchmarks.bench_drag [dark]`.

Opens the window at 1600×1000 and drags points of the front, of a rear on leaf springs and of one on
links, with mouse events sent at 125 Hz; words tell which, for instance `links`. A frame counts from
the moment its event is due until everything that it changed is painted and handed to the screen, so
work that the window does in between, such as the curves, shows where it delays a frame. The cycle
counts on until the loop is free again: what trails the frame is done too. Each drag is cut in
parts, between which the yardstick's loop is timed; R is its median, as the machine was meanwhile.
Each part begins at the same pose, and a move that changes nothing, at a stop, is no frame.
The first frames of a part, in which a drag begins, are told apart. The work is what a frame takes
of the processor, which other programs on the machine disturb less. With `pointer`, under an X
server, the real pointer is moved by xdotool and time counts from the server's time stamp of the
event.
"""

from __future__ import annotations

import gc
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

if "pointer" not in sys.argv:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["HOME"] = tempfile.mkdtemp()  # settings and kept work of its own

from PySide6.QtCore import (
    QCoreApplication,
    QEvent,
    QEventLoop,
    QObject,
    QPointF,
    Qt,
)
from PySide6.QtGui import QMouseEvent, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.board.view import BoardView
from app.desk.main import application, open_window
from app.desk.window import Window
from app.document.files import read_setup
from app.document.samples import sample_paths
from app.drawing.views import View
from app.panels.lists.results import ResultsView
from app.session.session import Session
from app.systems.answers import Pose
from app.systems.every import BY_KEY, LIMIT_KINDS
from app.systems.front.system import Front
from app.systems.rear.system import Rear
from tests.benchmarks.yardstick import Times, median, root_loop, spent

PERIOD = 0.008  # s between the events of a hand's mouse
PARTS, MOVES, FIRST = 6, 60, 3  # parts of a drag, moves of each, frames of each that begin it
WANTED = [word for word in sys.argv[1:] if word not in ("pointer", "dark")]
WAIT = QEventLoop.ProcessEventsFlag.WaitForMoreEvents
LEFT, NO_BUTTON = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton


class Clock(QObject):
    """Notes how long each part of a frame takes, and when frames are on the screen."""

    def __init__(self) -> None:
        super().__init__()
        self.parts: dict[str, float] = {}
        self.frames: list[tuple[float, dict[str, float], float]] = []
        self.cycles: list[float] = []
        self.firsts: list[float] = []
        self.loops: list[Times] = []
        self.due = self.began = 0.0
        self.waiting = self.changed = False
        self._flushing: tuple[float, dict[str, float]] | None = None

    @property
    def is_busy(self) -> bool:
        """Tell whether a frame is not on the screen yet."""
        return self.waiting or self._flushing is not None

    def note_change(self) -> None:
        """Note that the event changed what is shown."""
        self.changed = True

    def frame_begins(self, due: float) -> None:
        """Note that an event is there; of several that are painted together the last counts."""
        self.due, self.parts, self.waiting, self.changed = due, {}, True, False
        self.began = time.thread_time()

    def timed(self, name: str, work: Callable[..., Any]) -> Callable[..., Any]:
        """Return the work with its time noted under a name."""

        def wrapped(*args: Any, **options: Any) -> Any:
            start, parts = time.monotonic(), self.parts
            result = work(*args, **options)
            parts[name] = parts.get(name, 0.0) + time.monotonic() - start
            return result

        return wrapped

    def painting(self, name: str, work: Callable[..., None]) -> Callable[..., None]:
        """Return a paint event that is timed and, when its frame is flushed, ends the frame."""
        timed = self.timed(name, work)

        def wrapped(widget: QWidget, event: QPaintEvent) -> None:
            if self.waiting:
                self.waiting, self._flushing = False, (self.due, self.parts)
                QCoreApplication.postEvent(self, QEvent(QEvent.Type.User))
            timed(widget, event)

        return wrapped

    def event(self, event: QEvent) -> bool:
        """End a frame: this event was posted while it was painted, so it comes after the flush."""
        if event.type() == QEvent.Type.User and self._flushing is not None:
            due, parts = self._flushing
            self.frames.append((time.monotonic() - due, parts, time.thread_time() - self.began))
            self._flushing = None
        return super().event(event)


@contextmanager
def instruments() -> Iterator[Clock]:
    """Time study, strokes and paint wherever the window uses them."""
    clock = Clock()
    places = [
        (Session, "_solve", clock.timed, "study"),
        (Front, "drawings", clock.timed, "strokes"),
        (Rear, "drawings", clock.timed, "strokes"),
        (BoardView, "paintEvent", clock.painting, "views"),
        (ResultsView, "paintEvent", clock.painting, "results"),
    ]
    kept = [getattr(kind, method) for kind, method, _, _ in places]
    for (kind, method, instrument, name), work in zip(places, kept, strict=True):
        setattr(kind, method, instrument(name, work))
    yield clock
    for (kind, method, _, _), work in zip(places, kept, strict=True):
        setattr(kind, method, work)


def settle(seconds: float) -> None:
    """Let the window finish what it has begun."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        QCoreApplication.processEvents()
        time.sleep(0.001)


def path(count: int) -> Iterator[tuple[float, float]]:
    """Yield where a hand goes: down and up again, and a little sideways, pixel by pixel."""
    for step in range(count):
        there = step % 60
        yield 3.0 + (step % 20) * 0.3, (there if there < 30 else 60 - there) - 15.5


class Hand:
    """A hand on a view: presses, moves at the mouse's rate, lets go."""

    def __init__(self, window: Window, view: BoardView, clock: Clock) -> None:
        self.window, self.view, self.clock = window, view, clock
        window.session.study_changed.connect(clock.note_change)

    def send(self, kind: QEvent.Type, at: QPointF, button: Qt.MouseButton, held: bool) -> None:
        down = LEFT if held else NO_BUTTON
        everywhere = QPointF(self.view.mapToGlobal(at))
        modifiers = Qt.KeyboardModifier.NoModifier
        event = QMouseEvent(kind, at, everywhere, button, down, modifiers)
        QCoreApplication.sendEvent(self.view, event)

    def drag(self, start: QPointF) -> None:
        """Drag from a place along the path."""
        pose = self.window.session.pose
        self.send(QEvent.Type.MouseButtonPress, start, LEFT, True)
        settle(0.3)
        due = time.monotonic()
        for across, down in path(MOVES):
            due += PERIOD
            while time.monotonic() < due:
                QCoreApplication.processEvents()
            count = len(self.clock.frames)
            self.clock.frame_begins(due)
            where = start + QPointF(across, down)
            self.send(QEvent.Type.MouseMove, where, NO_BUTTON, True)
            if not self.clock.changed:  # at a stop: what is painted next is no answer to it
                self.clock.waiting = False
            while self.clock.is_busy:
                QCoreApplication.processEvents()
            if len(self.clock.frames) > count:
                QCoreApplication.processEvents()
                self.clock.cycles.append(time.monotonic() - due)
            due = max(due, time.monotonic() - PERIOD)
        self.send(QEvent.Type.MouseButtonRelease, start, LEFT, False)
        settle(0.3)
        self.put_back(pose)

    def put_back(self, pose: Pose) -> None:
        """Take the drag back, so that the next one begins where this one did."""
        self.window.session.undo()
        self.window.session.set_pose(pose)
        settle(0.3)


class Pointer(Hand):
    """The same by the X server's pointer; the time stamps are the server's."""

    def drag(self, start: QPointF) -> None:
        """Drag from a place along the path."""
        pose = self.window.session.pose
        place = self.view.mapToGlobal(start)
        x, y = round(place.x()), round(place.y())
        words = ["mousemove", str(x), str(y), "mousedown", "1"]
        for across, down in path(MOVES):
            words += [
                "sleep",
                str(PERIOD),
                "mousemove",
                str(round(x + across)),
                str(round(y + down)),
            ]
        move = self.view.mouseMoveEvent

        def stamped(event: QMouseEvent) -> None:
            self.clock.frame_begins(event.timestamp() / 1000.0)
            move(event)

        self.view.mouseMoveEvent = stamped  # type: ignore[method-assign]
        with subprocess.Popen(["xdotool", *words, "sleep", "0.2", "mouseup", "1"]) as running:
            while running.poll() is None:
                QCoreApplication.processEvents(WAIT)
        del self.view.mouseMoveEvent
        settle(0.5)
        self.put_back(pose)


def tell(name: str, clock: Clock) -> None:
    """Print lines for a drag, and forget its frames."""
    times = [1000 * frame[0] for frame in clock.frames]
    cycles = [1000 * cycle for cycle in clock.cycles]
    loop = median(clock.loops)
    work = [1000 * frame[2] for frame in clock.frames]
    split = {
        part: 1000 * statistics.median(frame[1].get(part, 0.0) for frame in clock.frames)
        for part in ("study", "strokes", "views", "results")
    }
    words = "  ".join(f"{part} {took:4.2f}" for part, took in split.items())
    print(f"{name}: {len(times)} frames, R {loop.wall:.1f} ms; of a frame {words}")
    rows = ("frame", times, loop.wall), ("cycle", cycles, loop.wall), ("work", work, loop.processor)
    for kind, found, unit in rows:
        if not found:
            continue
        middle, late = statistics.median(found), percentile(found, 0.99)
        print(
            f"  {kind:5}  median {middle:5.2f} ms = {middle / unit:4.2f} R   p99 {late:5.2f} ms = "
            f"{late / unit:4.2f} R = {late / middle:4.2f} medians   worst {max(found):5.2f} ms",
            flush=True,
        )
    first = 1000 * statistics.median(clock.firsts)
    print(f"  first {FIRST} frames of a drag: median {first:5.2f} ms", flush=True)
    clock.frames, clock.cycles, clock.loops = [], [], []


def percentile(times: list[float], share: float) -> float:
    """Return the time within which a share of the times lies."""
    return sorted(times)[min(len(times) - 1, int(share * len(times)))]


def drag_point(hand: Hand, name: str, keys: tuple[str, ...]) -> None:
    """Drag points by the last of them, and tell."""
    hand.window.session.select(keys)
    item = hand.view.aim.find(keys[-1])
    assert item is not None
    drag_place(hand, name, hand.view.place_of(item))


def drag_place(hand: Hand, name: str, start: QPointF) -> None:
    """Drag from a pixel in parts, with the yardstick between them, and tell."""
    if WANTED and not any(word in name for word in WANTED):
        return
    clock, loop = hand.clock, root_loop()
    hand.drag(start)  # warms everything up
    clock.frames, clock.cycles, clock.firsts = [], [], []
    for _ in range(PARTS):
        clock.loops += [spent(loop) for _ in range(3)]
        frames, cycles = len(clock.frames), len(clock.cycles)
        hand.drag(start)
        clock.firsts += [frame[0] for frame in clock.frames[frames : frames + FIRST]]
        del clock.frames[frames : frames + FIRST], clock.cycles[cycles : cycles + FIRST]
    tell(name, clock)


def opened(window: Window, name: str, system: str) -> None:
    """Open a sample, with its last change on that moves points of the axle, and show the system."""
    (path,) = [path for path in sample_paths() if path.stem == name]
    setup = read_setup(path, limit_kinds=LIMIT_KINDS).setup
    window.session.open(setup, None)
    window.session.show(BY_KEY[system])
    window.session.set_active(None)
    settle(0.5)


def main() -> None:
    program = application()
    kind = Pointer if "pointer" in sys.argv else Hand
    with instruments() as clock:
        window = open_window(None)
        window.set_paper("dark" if "dark" in sys.argv else "light")
        window.resize(1600, 1000)
        window.show()
        settle(1.5)
        gc.collect()
        gc.freeze()
        hand = kind(window, window.board.views[View.FRONT], clock)
        drag_point(hand, "front, upper front pivot", ("front.upper_front",))
        drag_point(hand, "front, two upper pivots", ("front.upper_rear", "front.upper_front"))
        drag_point(hand, "front, lower ball joint", ("front.lower_ball",))
        wheel = hand.view.aim.find("wheel:left")
        assert wheel is not None
        drag_place(hand, "front, wheel", hand.view.place_of(wheel) + QPointF(0.0, -40.0))
        hand = kind(window, window.board.views[View.SIDE], clock)
        opened(window, "small_saloon", "rear")
        drag_point(hand, "rear on leaf springs, front eye", ("rear.front_eye",))
        opened(window, "hillclimb_special", "rear")
        drag_point(hand, "rear on links, upper link's front end", ("rear.upper_body",))
    window.keeper.close()
    program.closeAllWindows()
    os._exit(0)


if __name__ == "__main__":
    main()
