"""What a start does before its first picture: nothing that can wait."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from pytestqt.qtbot import QtBot

from app.desk.main import HANDS, open_window
from tests.helpers.project import ROOT

pytestmark = pytest.mark.gui

LATE = [
    "app.document.rewriting",
    "app.entry.steps",
    "app.export",
    "app.judge.whole_car",
    "app.judge.drawn",
    "app.judge.survey",
    "app.sheet",
    "app.cli.options",
    "concurrent.futures",
    "difflib",
    "ezdxf",
    "fractions",
    "hashlib",
    "html",
    "statistics",
    "scipy",
    "geometry.leaf.load",
    "geometry.leaf.rear",
    "geometry.links.car",
    "importlib.resources",
    "json",
    "numpy.ma",
    "pyqtgraph",
    "secrets",
    "socket",
]
START = """
import os, sys
import app.__main__ as program

def look(*_):
    from linecache import cache
    from PySide6.QtWidgets import QApplication, QDialog
    QApplication.sendPostedEvents()
    QApplication.processEvents()
    print(os.environ["OPENBLAS_NUM_THREADS"], *sorted(set(sys.argv[1:]) & set(sys.modules)))
    print(*(name for name in cache if "/app/" in name or "/geometry/" in name))  # sources read
    print(*(kind.__name__ for kind in QDialog.__subclasses__() if kind.__name__ == "QWizard"))
    sys.stdout.flush()
    os._exit(0)

from PySide6.QtWidgets import QApplication
QApplication.exec = look
program._open_board(None)
"""


@pytest.mark.parametrize(("threads", "seen"), [(None, "1"), ("3", "3")])
def test_a_first_picture_needs_nothing_that_can_wait(
    tmp_path: Path, threads: str | None, seen: str
) -> None:
    environment = {key: word for key, word in os.environ.items() if "OPENBLAS" not in key}
    environment |= {"HOME": str(tmp_path), "QT_QPA_PLATFORM": "offscreen"}
    environment |= {} if threads is None else {"OPENBLAS_NUM_THREADS": threads}
    run = subprocess.run(
        [sys.executable, "-c", START, *LATE, *HANDS],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    assert run.stdout.split() == [seen]  # the user's own number of threads is left


def test_a_start_writes_no_setting(qtbot: QtBot) -> None:
    window = open_window(None)
    qtbot.addWidget(window)
    assert not QSettings().contains("paper")
    window.set_paper("dark")
    assert QSettings().value("paper") == "dark"
    window.keeper.close()
