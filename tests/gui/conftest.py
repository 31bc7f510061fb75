"""Every GUI test starts with its own settings and kept work, and leaves no window.

It opens no unexpected dialog.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QSettings, QStandardPaths
from PySide6.QtWidgets import QApplication, QDialog, QFileDialog, QMessageBox
from shiboken6 import isValid


@pytest.fixture(autouse=True)
def own_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    home = tmp_path / "home"  # in it lies what is kept: other runs keep theirs
    home.mkdir()
    monkeypatch.setenv("HOME", str(home))
    QStandardPaths.setTestModeEnabled(True)
    for style in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
        QSettings.setPath(style, QSettings.Scope.UserScope, str(tmp_path / "settings"))


@pytest.fixture(autouse=True)
def no_unexpected_dialogs(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_args: object, **_options: object) -> None:
        pytest.fail("a modal dialog would hang the test")

    for name in ("exec", "question", "warning", "information", "critical"):
        monkeypatch.setattr(QMessageBox, name, refuse)
    for name in ("getOpenFileName", "getSaveFileName", "getExistingDirectory"):
        monkeypatch.setattr(QFileDialog, name, refuse)
    monkeypatch.setattr(QDialog, "exec", refuse)


@pytest.fixture(autouse=True)
def no_window_left() -> Iterator[None]:
    yield
    for window in QApplication.topLevelWidgets():
        # menus go with their windows; hidden widgets belong to plots, which take them along
        if isValid(window) and window.parent() is None and window.isVisible():
            window.close()
            window.deleteLater()
    if QCoreApplication.instance():
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
