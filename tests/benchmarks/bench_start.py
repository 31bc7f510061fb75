"""Time from process start to the first painted window: `python -m tests.benchmarks.bench_start`.

Starts the program again and again, warm. A start counts from before the interpreter runs until
the window's first picture is handed to the screen, and until the curves, which load late, are
painted too. Beside each the processor time of the process, which other work on the machine
disturbs less. Under an X server, set QT_QPA_PLATFORM=xcb.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time

STARTS = 10
CHILD = "as a start"


def start() -> None:
    """Start the program; when it would wait for the user, note what is painted by then."""
    from PySide6.QtWidgets import QApplication

    from app.__main__ import main

    QApplication.exec = watch  # type: ignore[method-assign]
    sys.argv[1:] = []
    main()


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


def measured() -> list[float]:
    """Return wall and processor time to the first picture and to the last [s], of one start."""
    began = time.monotonic()
    words = [sys.executable, "-m", "tests.benchmarks.bench_start", CHILD]
    with tempfile.TemporaryDirectory() as home:
        done = subprocess.run(
            words, env={**os.environ, "HOME": home}, capture_output=True, text=True, check=True
        )
    first, first_work, last, last_work = map(float, done.stdout.split())
    return [first - began, first_work, last - began, last_work]


def main() -> None:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    measured()  # the first start warms the disk's cache
    times = [measured() for _ in range(STARTS)]
    names = ("first picture", "  of it work", "everything there", "  of it work")
    for name, column in zip(names, zip(*times, strict=True), strict=True):
        print(f"{name:18} best {min(column):5.3f}  median {statistics.median(column):5.3f} s")


if __name__ == "__main__":
    if sys.argv[1:] == [CHILD]:
        start()
    else:
        main()
