"""The border to Qt: every override is fenced, and a fence lets no exception through."""

from __future__ import annotations

import importlib
import os
import pkgutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from types import FunctionType

import pytest
from pytestqt.qtbot import QtBot

import app
from app.desk.fault_box import FaultBox
from app.desk.main import application, open_window
from app.qt.border import is_override

pytestmark = pytest.mark.gui

RAISING = """
import sys
from PySide6.QtCore import QAbstractListModel, QSize, QTimer
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QListView, QVBoxLayout, QWidget
from app.qt.border import fenced

told = []
sys.excepthook = lambda kind, error, trace: told.append(str(error))

@fenced
class Part(QWidget):
    def resizeEvent(self, event): raise ValueError("resize")
    def paintEvent(self, event): raise ArithmeticError("paint")
    def sizeHint(self): raise KeyError("hint")
    def mousePressEvent(self, event): raise RecursionError("press")
    def own(self): raise ValueError("of its own")

@fenced
class Model(QAbstractListModel):
    def rowCount(self, parent=None): return 3
    def data(self, index, role=0): raise ValueError("data")

application = QApplication([])
top = QWidget()
column = QVBoxLayout(top)
part, view = Part(), QListView()
view.setModel(model := Model())
part.setMinimumSize(50, 50)
column.addWidget(part)
column.addWidget(view)
top.show()
top.resize(300, 300)
QTest.mouseClick(part, __import__("PySide6.QtCore").QtCore.Qt.MouseButton.LeftButton)
QTimer.singleShot(200, application.quit)
status = application.exec()
try:
    part.own()
except ValueError as error:
    told.append(f"raised {error}")
print(status, sorted(set(told)))
"""


def classes() -> Iterator[type]:
    for module in pkgutil.walk_packages(app.__path__, "app."):
        if not module.name.endswith("__main__"):
            found = vars(importlib.import_module(module.name)).values()
            yield from (
                each for each in found if isinstance(each, type) and each.__module__ == module.name
            )


def overrides(kind: type) -> list[str]:
    """Return the methods of a class that Qt, or a library for it, calls by their names."""
    outside = ("PySide6", "Shiboken", "pyqtgraph")
    if not any(base.__module__.partition(".")[0] in outside for base in kind.__mro__):
        return []
    methods = (name for name, each in vars(kind).items() if isinstance(each, FunctionType))
    return [name for name in methods if is_override(kind, name)]


def test_every_override_of_the_program_is_fenced() -> None:
    found = [(kind, name) for kind in classes() for name in overrides(kind)]
    assert len(found) > 150
    bare = [
        f"{kind.__module__}.{kind.__name__}.{name}"
        for kind, name in found
        if not hasattr(vars(kind)[name], "is_fence")
    ]
    assert bare == []


def test_what_goes_wrong_in_an_override_is_told_and_the_program_lives_on(tmp_path: Path) -> None:
    script = tmp_path / "raising.py"
    script.write_text(RAISING)
    place = {"PYTHONPATH": str(Path(app.__file__).parents[1]), "QT_QPA_PLATFORM": "offscreen"}
    done = subprocess.run(
        [sys.executable, script], env=os.environ | place, capture_output=True, text=True, timeout=60
    )
    assert done.returncode == 0, done.stderr
    said = done.stdout.strip()
    assert said.startswith("0 [")
    for words in ("'resize'", "'paint'", "'press'", "'data'", "'raised of its own'", "hint"):
        assert words in said


def test_a_fault_that_comes_again_is_told_and_kept_once(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A fault in painting comes again with every frame."""
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)  # the window puts its own there
    told: list[str] = []
    kept: list[bool] = []
    monkeypatch.setattr(FaultBox, "tell", lambda _box, words, _text: told.append(words))
    application()
    window = open_window(None)
    qtbot.addWidget(window)
    monkeypatch.setattr(window.keeper, "keep", lambda: kept.append(True))
    for _ in range(3):
        try:
            raise ArithmeticError("in a paint")
        except ArithmeticError:
            sys.excepthook(*sys.exc_info())
    assert told == ["ArithmeticError: in a paint"]
    assert kept == [True]
    assert capsys.readouterr().err.count("in a paint") == 2  # the line, and the error
