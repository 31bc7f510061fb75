"""What every test marked `gui` is given: an application, settings and kept work of its own.

It opens no unexpected dialog and leaves no window. Qt is imported when the first of them runs:
the kernel's tests also run where there is none.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import pytest

GIVEN: Final = ("qapp", "own_settings", "no_unexpected_dialogs", "no_window_left", "studied_before")


@pytest.fixture(autouse=True)
def gui_test(request: pytest.FixtureRequest) -> None:
    """Give a test marked `gui` what it needs, in whatever file it stands."""
    if request.node.get_closest_marker("gui"):
        for name in GIVEN:
            request.getfixturevalue(name)
        if not request.node.get_closest_marker("bands"):
            request.getfixturevalue("no_process_beside")


@pytest.fixture
def own_settings(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Point to a home of the test's own, beside its `tmp_path`: in it lies what is kept."""
    from PySide6.QtCore import QSettings, QStandardPaths

    home = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("HOME", str(home))
    QStandardPaths.setTestModeEnabled(True)
    for style in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
        QSettings.setPath(style, QSettings.Scope.UserScope, str(home / "settings"))


@pytest.fixture
def no_process_beside(monkeypatch: pytest.MonkeyPatch) -> None:
    """Windows do without bands, as where no process can be had; else each would work them out."""
    from app.session.band_keeper import Helper

    def refuse(_helper: Helper, _job: object) -> None:
        raise OSError("no process for bands in this test")

    monkeypatch.setattr(Helper, "send", refuse)  # one that another test started may be there


@pytest.fixture
def studied_before(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let what another test has read and studied not be solved again: what is tested is shown."""
    from tests.helpers.kept_studies import keep

    keep(monkeypatch)


@pytest.fixture
def no_unexpected_dialogs(monkeypatch: pytest.MonkeyPatch) -> None:
    from PySide6.QtWidgets import QDialog, QFileDialog, QMessageBox

    def refuse(*_args: object, **_options: object) -> None:
        pytest.fail("a modal dialog would hang the test")

    for name in ("exec", "question", "warning", "information", "critical"):
        monkeypatch.setattr(QMessageBox, name, refuse)
    for name in ("getOpenFileName", "getSaveFileName", "getExistingDirectory"):
        monkeypatch.setattr(QFileDialog, name, refuse)
    monkeypatch.setattr(QDialog, "exec", refuse)


@pytest.fixture
def no_window_left() -> Iterator[None]:
    from PySide6.QtCore import QCoreApplication, QEvent
    from PySide6.QtWidgets import QApplication
    from shiboken6 import isValid

    yield
    for window in QApplication.topLevelWidgets():
        # menus go with their windows; hidden widgets belong to plots, which take them along
        if isValid(window) and window.parent() is None and window.isVisible():
            window.close()
            window.deleteLater()
    if QCoreApplication.instance():
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
