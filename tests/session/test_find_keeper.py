"""A search beside the window: it goes on meanwhile, stops when told to, and loads no optimiser."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from pytestqt.qtbot import QtBot

from app.judge.finder import serve
from app.judge.told_answers import AnswerTable
from app.session.beside import Beside
from app.session.find_keeper import GONE, FindKeeper
from tests.helpers.project import ROOT
from tests.helpers.sought import BUMP_STEER, CAMBER_GAIN, PIVOTS, TIE_ROD, saloon

pytestmark = [pytest.mark.gui, pytest.mark.slow]

LOOKS = """
import sys
from PySide6.QtWidgets import QApplication
from app.desk.window import Window
from app.session.session import Session
from tests.helpers.sought import CAMBER_GAIN, PIVOTS, saloon
application = QApplication([])
window = Window(Session(saloon(wants=(CAMBER_GAIN,), rooms=PIVOTS)))
window.find_where("front.upper_front")
import app.session.find_keeper as keeper, app.judge.told_answers
keeper.FindKeeper()
print(*sorted({"scipy", "app.judge.find", "multiprocessing"} & set(sys.modules)))
"""


def test_the_window_goes_on_while_a_search_goes_and_can_stop_it(qtbot: QtBot) -> None:
    """Turns of the window's own loop are counted: a search in it would leave none."""
    keeper, turns, shares = FindKeeper(beside=Beside(serve)), [], []
    clock = QTimer(interval=5)
    clock.timeout.connect(lambda: turns.append(keeper.is_going))
    keeper.went_on.connect(shares.append)
    setup = saloon(wants=(CAMBER_GAIN, BUMP_STEER), rooms={**PIVOTS, **TIE_ROD})
    clock.start()
    other = FindKeeper()  # of another window: neither ends the other's search, or waits for it
    narrow = saloon(wants=(CAMBER_GAIN,))
    with (
        qtbot.waitSignal(keeper.found, timeout=120_000) as found,
        qtbot.waitSignal(other.refused, timeout=60_000),
    ):
        keeper.ask(setup, 0.5)
        other.ask(narrow, None)
    gone = other.beside._process
    other.deleteLater()
    qtbot.waitUntil(lambda: gone is not None and not gone.is_alive())
    assert sum(turns) > 50
    assert shares == sorted(shares)
    assert len(shares) > 3
    table = found.args[0]["mm"]
    assert isinstance(table, AnswerTable)
    assert table.changes[-1] is not None
    tables: list[object] = []
    keeper.found.connect(tables.append)
    with qtbot.waitSignal(keeper.went_on, timeout=60_000):
        keeper.ask(setup, 0.5)
    keeper.stop()
    assert not keeper.is_going
    with qtbot.waitSignal(keeper.refused, timeout=60_000) as refused:
        keeper.ask(narrow, None)
    assert refused.args[0].startswith("Nothing may move")
    assert not tables
    process = keeper.beside._process
    assert process is not None
    assert process.pid is not None
    with qtbot.waitSignal(keeper.went_on, timeout=60_000):
        keeper.ask(setup, 0.5)
    with qtbot.waitSignal(keeper.refused, timeout=60_000) as refused:
        os.kill(process.pid, signal.SIGKILL)
    assert refused.args == [GONE]
    keeper.beside.end()


def test_the_window_of_a_search_loads_no_optimiser(tmp_path: Path) -> None:
    environment = {**os.environ, "HOME": str(tmp_path), "QT_QPA_PLATFORM": "offscreen"}
    run = subprocess.run(
        [sys.executable, "-c", LOOKS],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    assert run.stdout.split() == []
