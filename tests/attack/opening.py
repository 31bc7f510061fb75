"""Files opened in a real window, by a process that may die of one: it says which.

`python -m tests.attack.opening FILE…` says what became of each, a line of JSON at a time.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMessageBox, QWidget

from app.desk.main import application, open_window
from app.desk.window import Window
from app.document.faults import Fault
from app.filing.dialogs import Answer, Dialogs
from app.session.session import Session
from app.systems.answers import Pose
from tests.attack.failures import ROOT, place_of
from tests.attack.wild import Story, Tally, watched


@dataclass(frozen=True)
class Opened:
    """What became of a file in the window."""

    name: str
    outcome: str  # "shown", "refused", or "died": the process ended
    failures: tuple[str, ...] = ()


class Answers(Dialogs):
    """Answers what a window asks: nothing is kept, nothing is overwritten."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.told = ""

    def unsaved(self, title: str) -> Answer:
        """Throw it away."""
        return Answer.DISCARD

    def overwrite(self, words: str) -> bool:
        """Leave it."""
        return False

    def tell(self, title: str, words: str) -> None:
        """Note it."""
        self.told = words

    def show_faults(self, name: str, faults: tuple[Fault, ...]) -> None:
        """Note them."""
        self.told = "\n".join(map(str, faults))


def opened(paths: Sequence[Path]) -> Iterator[Opened]:
    """Yield what becomes of files in a window; after a death, a new process takes the next."""
    left = list(paths)
    while left:
        lines = _said_by_a_window(left)
        for line in lines:
            yield Opened(line[0], line[1], tuple(line[2]))
        left = left[len(lines) :]
        if left:
            yield Opened(left.pop(0).name, "died")


def _said_by_a_window(paths: Sequence[Path]) -> list[list[str]]:
    places = ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME")
    with tempfile.TemporaryDirectory() as home:
        done = subprocess.run(
            [sys.executable, "-m", "tests.attack.opening", *map(str, paths)],
            cwd=ROOT,
            env={"QT_QPA_PLATFORM": "offscreen", **os.environ, **dict.fromkeys(places, home)},
            capture_output=True,
            text=True,
            encoding="utf-8",
            timeout=600,
        )
    return [json.loads(line) for line in done.stdout.splitlines() if line.startswith("[")]


def _open(window: Window, answers: Answers, path: Path) -> Opened:
    """Open a file, look at all of it, and close what came up beside the window."""
    story, answers.told = Story(path.name, Tally()), ""
    is_shown = False
    with watched(story):
        try:
            is_shown = window.filing.read(path)
            QTest.qWait(1)
            if is_shown:
                _look_at(window.session)
        except Exception as error:
            story.fail(place_of(error))
        beside = [each for each in QApplication.topLevelWidgets() if each.isVisible()]
        beside.remove(window)
        for box in beside:
            if isinstance(box, QMessageBox):
                story.fail(f"a box appeared: {box.informativeText()[:120]}")
            box.close()
    failures = [failure for _, failure in story.tally.failures]
    # for a car that isn't measured yet, the guide comes up beside
    if not (is_shown or answers.told or failures or beside):
        failures.append("it is neither shown nor refused")
    return Opened(path.name, "shown" if is_shown else "refused", tuple(failures))


def _look_at(session: Session) -> None:
    """Show both ends, settled and not, in other units, and let the curves come."""
    for system in session.systems():
        session.show(system)
        for pose in (Pose(30.0), Pose(-30.0, 0.05), Pose()):
            session.set_pose(pose)
            session.set_in_body(not session.in_body)
            QTest.qWait(1)
        session.set_units("in" if session.units == "mm" else "mm")
        QTest.qWait(45)


def main() -> None:
    """Open the files named, one after the other."""
    application()
    window = open_window(None)
    window.asker = window.filing.asker = answers = Answers(window)
    window.resize(1280, 800)
    window.show()
    for name in sys.argv[1:]:
        became = _open(window, answers, Path(name))
        print(json.dumps([became.name, became.outcome, became.failures]), flush=True)


if __name__ == "__main__":
    main()
