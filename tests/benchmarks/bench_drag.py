"""Time from a drag event to the painted frame: `python -m tests.benchmarks.bench_drag [dark]`.

Opens the window at 1600×1000 and drags with mouse events sent at 125 Hz. A frame counts from the
moment its event is due until everything that it changed is painted and handed to the screen, so
work that the window does in between, such as the curves, shows where it delays a frame. With
`pointer`, under an X server, the real pointer is moved by xdotool and time counts from the
server's time stamp of the event.
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

import app.board.axles
import app.session.session
from app.board.view import BoardView
from app.desk.main import application, open_window
from app.desk.window import Window
from app.drawing.views import View
from app.panels.lists.results import ResultsView

PERIOD = 0.008  # s between the events of a hand's mouse
MOVES = 300
WAIT = QEventLoop.ProcessEventsFlag.WaitForMoreEvents
LEFT, NO_BUTTON = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton


class Clock(QObject):
    """Notes how long each part of a frame takes, and when frames are on the screen."""

    def __init__(self) -> None:
        super().__init__()
        self.parts: dict[str, float] = {}
        self.frames: list[tuple[float, dict[str, float]]] = []
        self.due = 0.0
        self.waiting = False
        self._flushing: tuple[float, dict[str, float]] | None = None

    @property
    def is_busy(self) -> bool:
        """Tell whether a frame is not on the screen yet."""
        return self.waiting or self._flushing is not None

    def frame_begins(self, due: float) -> None:
        """Note that an event is there; of several that are painted together the last counts."""
        self.due, self.parts, self.waiting = due, {}, True

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
            self.frames.append((time.monotonic() - due, parts))
            self._flushing = None
        return super().event(event)


@contextmanager
def instruments() -> Iterator[Clock]:
    """Time study, strokes and paint wherever the window uses them."""
    clock = Clock()
    kept = app.session.session.study, app.board.axles.front_drawings
    paints = {widget: widget.paintEvent for widget in (BoardView, ResultsView)}
    app.session.session.study = clock.timed("study", kept[0])
    app.board.axles.front_drawings = clock.timed("strokes", kept[1])
    for widget, paint in paints.items():
        name = "views" if widget is BoardView else "results"
        widget.paintEvent = clock.painting(name, paint)  # type: ignore[method-assign]
    yield clock
    app.session.session.study, app.board.axles.front_drawings = kept
    for widget, paint in paints.items():
        widget.paintEvent = paint  # type: ignore[method-assign]


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

    def send(self, kind: QEvent.Type, at: QPointF, button: Qt.MouseButton, held: bool) -> None:
        down = LEFT if held else NO_BUTTON
        everywhere = QPointF(self.view.mapToGlobal(at))
        modifiers = Qt.KeyboardModifier.NoModifier
        event = QMouseEvent(kind, at, everywhere, button, down, modifiers)
        QCoreApplication.sendEvent(self.view, event)

    def drag(self, start: QPointF) -> None:
        """Drag from a place along the path."""
        self.send(QEvent.Type.MouseButtonPress, start, LEFT, True)
        settle(0.3)
        due = time.monotonic()
        for across, down in path(MOVES):
            due += PERIOD
            while time.monotonic() < due:
                QCoreApplication.processEvents()
            self.clock.frame_begins(due)
            where = start + QPointF(across, down)
            self.send(QEvent.Type.MouseMove, where, NO_BUTTON, True)
            while self.clock.is_busy:
                QCoreApplication.processEvents()
                if time.monotonic() - due > 0.5:
                    self.clock.waiting = False  # nothing changed, so nothing is painted
            due = max(due, time.monotonic() - PERIOD)
        self.send(QEvent.Type.MouseButtonRelease, start, LEFT, False)
        settle(0.3)
        self.window.session.undo()
        settle(0.3)


class Pointer(Hand):
    """The same by the X server's pointer; the time stamps are the server's."""

    def drag(self, start: QPointF) -> None:
        """Drag from a place along the path."""
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
        self.window.session.undo()
        settle(0.3)


def tell(name: str, clock: Clock) -> None:
    """Print a line for a drag, and forget its frames."""
    times = sorted(1000 * frame[0] for frame in clock.frames[10:])
    split = {
        part: 1000 * statistics.median(frame[1].get(part, 0.0) for frame in clock.frames[10:])
        for part in ("study", "strokes", "views", "results")
    }
    p99 = times[min(len(times) - 1, int(0.99 * len(times)))]
    words = "  ".join(f"{part} {spent:4.2f}" for part, spent in split.items())
    print(
        f"{name:22} {len(times):4} frames  median {statistics.median(times):5.2f}  p99 {p99:5.2f}"
        f"  worst {times[-1]:5.2f} ms   of it {words}",
        flush=True,
    )
    clock.frames.clear()


def main() -> None:
    program = application()
    with instruments() as clock:
        window = open_window(None)
        window.set_paper("dark" if "dark" in sys.argv else "light")
        window.resize(1600, 1000)
        window.show()
        settle(1.5)
        gc.collect()
        gc.freeze()
        kind = Pointer if "pointer" in sys.argv else Hand
        hand = kind(window, window.board.views[View.FRONT], clock)
        clock.frames.clear()
        for name, keys in (
            ("upper front pivot", ("front.upper_front",)),
            ("two upper pivots", ("front.upper_rear", "front.upper_front")),
            ("lower ball joint", ("front.lower_ball",)),
        ):
            window.session.select(keys)
            item = hand.view.aim.find(keys[-1])
            assert item is not None
            hand.drag(hand.view.place_of(item))
            tell(name, clock)
        wheel = hand.view.aim.find("wheel:left")
        assert wheel is not None
        hand.drag(hand.view.place_of(wheel) + QPointF(0.0, -40.0))
        tell("wheel", clock)
    window.keeper.close()
    program.closeAllWindows()
    os._exit(0)


if __name__ == "__main__":
    main()
