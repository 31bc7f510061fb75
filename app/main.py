"""Starts the window: wires the rooms together, and nothing else does."""

from __future__ import annotations

import contextlib
import gc
import sys
import traceback
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QGuiApplication, QIcon
from PySide6.QtWidgets import QApplication, QMessageBox

from app import NAME, VERSION
from app.document.files import LoadedSetup, read_setup
from app.limit_kinds import LIMIT_KINDS
from app.samples import first_sample
from app.session import Session
from app.theme import ink, resolved
from app.window import Window, _paper_choice

LOADED = 1500  # ms after which everything that loads late is there


def run(path: Path | None, arguments: list[str] | None = None) -> int:
    """Open the board on a setup, or on the invented first car, and stay until it is closed."""
    app = application(arguments)
    window = open_window(path)
    window.show()
    QTimer.singleShot(0, lambda: _after_first_paint(window))
    status = app.exec()
    return int(status)


def application(arguments: list[str] | None = None) -> QApplication:
    """Return the one application, named so that settings and data find their places."""
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        app = QApplication([NAME, *(arguments or [])])
    app.setApplicationName(NAME)
    app.setApplicationDisplayName("Wishboard")
    app.setOrganizationName(NAME)
    app.setApplicationVersion(VERSION)
    QGuiApplication.setDesktopFileName(NAME)
    icon = Path(__file__).parent / "icons" / f"{NAME}.svg"
    app.setWindowIcon(QIcon(str(icon)))
    ink(app, resolved(app, _paper_choice()))
    return app


def open_window(path: Path | None) -> Window:
    """Return the window on a setup that can be read, or on the first car."""
    loaded: LoadedSetup = read_setup(first_sample(), limit_kinds=LIMIT_KINDS)
    session = Session(loaded.setup)
    session.loaded = loaded
    window = Window(session)
    _catch_errors(window)
    if path is not None:
        QTimer.singleShot(0, lambda: window.filing.read(path))
    return window


def _after_first_paint(window: Window) -> None:
    """Do what the first picture needn't wait for."""
    window.filing.take_up_left_overs()
    QTimer.singleShot(LOADED, _collect)


def _collect() -> None:
    """Set aside all that was loaded: a full collection in the middle of a drag is a frame lost."""
    gc.enable()
    gc.collect()
    gc.freeze()


def _catch_errors(window: Window) -> None:
    """Show a fault of the program once, and keep the work safe."""
    shown: list[str] = []
    box = FaultBox(window)

    def caught(
        kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        text = "".join(traceback.format_exception(kind, error, trace))
        if text in shown:  # a fault in painting comes again with every frame
            return
        shown.append(text)
        if sys.stderr is not None:
            sys.stderr.write(text)
        with contextlib.suppress(Exception):  # whatever keeps work from being kept says so itself
            window.keeper.keep()
        if isinstance(error, Exception) and not box.isVisible():  # or one box upon the other
            box.tell(f"{type(error).__name__}: {error}", text)

    sys.excepthook = caught


class FaultBox(QMessageBox):
    """Tells of a fault of the program, without stopping what goes on."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self.setIcon(QMessageBox.Icon.Critical)
        self.setWindowTitle("A fault of the program")
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setText(
            "Something went wrong that is not your doing. Your work is kept safe; "
            "save it, and start the program anew if it behaves oddly."
        )

    def tell(self, words: str, text: str) -> None:
        """Show a fault."""
        self.setInformativeText(words)
        self.setDetailedText(text)
        self.open()
