"""Time from process start to the first painted window: `python -m tests.benchmarks.bench_start`.

Starts the program again and again, warm. A start counts from before the interpreter runs until
the window's first picture is handed to the screen, and until the curves, which load late, are
painted too. Beside each the processor time of the process, which other work on the machine
disturbs less. In turn with it a bare window is started, with numpy, five menus and a label: what Qt
and numpy cost by themselves. Under an X server, set QT_QPA_PLATFORM=xcb.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time

STARTS = 10
COMPILED = os.path.join(tempfile.gettempdir(), "bench_start-compiled")  # as after any first start
CHILD, BARE = "as a start", "as a bare window"


def start() -> None:
    """Start the program; when it would wait for the user, note what is painted by then."""
    import app.__main__ as program

    load_qt = program.load_qt

    def load_and_watch() -> None:
        load_qt()
        from PySide6.QtWidgets import QApplication

        QApplication.exec = watch  # type: ignore[method-assign]

    program.load_qt = load_and_watch
    sys.argv[1:] = []
    program.main()


def start_bare() -> None:
    """Start a window with next to nothing in it; note when it is painted."""
    import numpy  # noqa: F401
    from PySide6.QtWidgets import QApplication, QLabel, QMainWindow

    program = QApplication([])
    window = QMainWindow()
    for name in ("File", "Edit", "View", "Show", "Help"):
        window.menuBar().addMenu(name)
    window.setCentralWidget(QLabel("bare"))
    window.resize(1600, 1000)
    window.show()
    program.sendPostedEvents()
    program.processEvents()
    print(time.monotonic(), time.process_time(), flush=True)
    os._exit(0)


def watch(program: object) -> int:
    """Print when the window was painted, and when everything was there, and end."""
    from PySide6.QtWidgets import QApplication

    from app.desk.window import Window

    (window,) = (each for each in QApplication.topLevelWidgets() if isinstance(each, Window))
    QApplication.sendPostedEvents()
    QApplication.processEvents()
    told = [time.monotonic(), time.process_time()]
    while window.curves.sheet is None:
        QApplication.processEvents()
    QApplication.processEvents()
    print(*told, time.monotonic(), time.process_time(), flush=True)
    os._exit(0)


def measured(kind: str) -> list[float]:
    """Return wall and processor time to the first picture and to the last [s], of one start."""
    began = time.monotonic()
    words = [sys.executable, "-m", "tests.benchmarks.bench_start", kind]
    kept = {key: word for key, word in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    with tempfile.TemporaryDirectory() as home:
        environment = {**kept, "HOME": home, "PYTHONPYCACHEPREFIX": COMPILED}
        done = subprocess.run(words, env=environment, capture_output=True, text=True, check=True)
    found = [float(word) for word in done.stdout.split()]
    return [each - began if place % 2 == 0 else each for place, each in enumerate(found)]


def main() -> None:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    found: dict[str, list[list[float]]] = {CHILD: [], BARE: []}
    for kind in found:
        measured(kind)  # the first start warms the disk's cache
    for _ in range(STARTS):
        for kind, times in found.items():
            times.append(measured(kind))
    ours, bare = (list(zip(*times, strict=True)) for times in found.values())
    names = ("first picture", "  of it work", "everything there", "  of it work")
    for place, (name, column) in enumerate(zip(names, ours, strict=True)):
        beside = bare[place % 2]
        least = min(column) / min(beside)
        middle = statistics.median(column) / statistics.median(beside)
        print(
            f"{name:18} best {min(column):5.3f}  median {statistics.median(column):5.3f} s   bare "
            f"{min(beside):5.3f}, {statistics.median(beside):5.3f} s   ratio {least:4.2f}, "
            f"{middle:4.2f}"
        )
    print("target: first picture <= 1.8 times the bare window's")


if __name__ == "__main__":
    if sys.argv[1:] == [CHILD]:
        start()
    elif sys.argv[1:] == [BARE]:
        start_bare()
    else:
        main()
