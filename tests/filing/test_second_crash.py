"""A real program that takes up what a crash left, and is killed again: nothing is lost."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from app.document.files import read_setup
from app.document.model import Setup
from app.document.recovery import LeftOver, Recovery, left_overs
from app.document.samples import first_sample
from app.systems.every import LIMIT_KINDS
from tests.helpers.long_cases import LONG
from tests.helpers.setup_edits import set_evidence

pytestmark = pytest.mark.gui

MOMENTS = ("asked", "opened", "taken", "through", "kept", "edited", "kept again")
TWO = ("taken", "kept again")
PROGRAM = """
    import sys
    from PySide6.QtCore import QTimer
    from app.filing.dialogs import Dialogs
    from app.filing.filing import recovery_folder
    from tests.helpers.setup_edits import set_evidence
    from app.desk.main import application, open_window
    from app.session.band_keeper import Helper


    def refuse(_helper):
        raise OSError("no process for bands: it would be killed as well")


    Helper._start = refuse
    passed = []


    def moment(name):
        if name in passed:
            return
        passed.append(name)
        print(name, flush=True)
        if name == sys.argv[1]:
            sys.stdin.readline()  # until the kill


    class Takes(Dialogs):
        def take_up(self, title, when):
            moment("asked")
            return True


    app = application([])
    print(recovery_folder(), flush=True)
    window = open_window(None)
    session, keeper = window.session, window.keeper
    window.filing.asker = Takes(window)
    session.study_completed.connect(lambda: moment("opened"))
    window.filing.taken_up.connect(lambda left: moment("taken"))
    window.show()
    app.processEvents()
    window.filing.take_up_left_overs()
    moment("through")
    app.processEvents()
    keeper.keep()
    moment("kept")
    session.commit(set_evidence(session.setup, "car.mass", 1222.0), "type a mass")
    moment("edited")
    keeper.keep()
    moment("kept again")
"""


def environment(home: Path) -> dict[str, str]:
    places = {name: str(home) for name in ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME")}
    return {**os.environ, **places}


def run_until(home: Path, moment: str) -> Path:
    """Run the program until a moment, and kill it there; return its recovery folder."""
    words = [sys.executable, "-c", textwrap.dedent(PROGRAM), moment]
    with subprocess.Popen(
        words,
        env=environment(home),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as program:
        assert program.stdout is not None
        folder = Path(program.stdout.readline().strip())
        lines = [line.strip() for line in iter(program.stdout.readline, f"{moment}\n") if line]
        assert lines == list(MOMENTS[: MOMENTS.index(moment)]), "it got as far as that"
        program.send_signal(signal.SIGKILL)
        assert program.wait() == -signal.SIGKILL
    return folder


@pytest.fixture(scope="module")
def place_in_home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return where in its home the program keeps work."""
    home = tmp_path_factory.mktemp("home")
    return recovery_folder_of(home).relative_to(home)


def recovery_folder_of(home: Path) -> Path:
    """Return where the program keeps work."""
    words = (
        "from app.filing.filing import recovery_folder; from app.desk.main import application; "
        "application([]); print(recovery_folder())"
    )
    asked = subprocess.run(
        [sys.executable, "-c", words],
        env=environment(home),
        capture_output=True,
        text=True,
        check=True,
    )
    return Path(asked.stdout.strip())


def leave(folder: Path, setup: Setup, car: Path) -> None:
    """Leave work as a program does that dies."""
    place = Recovery(folder)
    place.keep(setup, 1.0, car, read_setup(car, limit_kinds=LIMIT_KINDS))
    assert place._lock is not None
    place._lock.close()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("first", "second"), [TWO, *(pytest.param(each, each, marks=LONG) for each in MOMENTS)]
)
def test_a_kill_after_taking_up_loses_nothing(
    tmp_path: Path, place_in_home: Path, first: str, second: str
) -> None:
    car = Path(shutil.copy(first_sample(), tmp_path / "car.toml"))
    before = read_setup(car, limit_kinds=LIMIT_KINDS)
    work = set_evidence(before.setup, "car.mass", 1111.0)
    further = set_evidence(before.setup, "car.mass", 1222.0)
    home = tmp_path / "home"
    folder = home / place_in_home
    leave(folder, work, car)
    for moment in (first, second):
        assert run_until(home, moment) == folder
        (left,) = left_overs(folder)
        is_further = "kept again" in (first, moment)
        assert left.setup(limit_kinds=LIMIT_KINDS) == (further if is_further else work)
        _knows_its_file(left, car, before.digest)


def _knows_its_file(left: LeftOver, car: Path, digest: str) -> None:
    loaded = left.loaded(limit_kinds=LIMIT_KINDS)
    assert loaded is not None
    assert (loaded.path, loaded.digest) == (car, digest)
