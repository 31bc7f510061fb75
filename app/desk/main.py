"""Starts the window; the only place that connects the rooms."""

from __future__ import annotations

import contextlib
import gc
import os
import sys
import traceback
from functools import partial
from importlib import import_module
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from PySide6.QtCore import QSettings, QTimer
from PySide6.QtGui import QGuiApplication, QIcon
from PySide6.QtWidgets import QApplication

from app import NAME, VERSION
from app.desk.theme import STYLE, ink, resolved
from app.desk.window import Window, _paper_choice
from app.document.files import SetupFaults, read_setup
from app.document.keys import missing_keys
from app.document.plain_text import one_line
from app.document.samples import first_sample
from app.filing.filing import recent_files
from app.panels.lists.sentences import AFTER_PAINT
from app.session.session import Session
from app.systems.every import LIMIT_KINDS, solve_measured

if TYPE_CHECKING:
    from app.desk.fault_box import FaultBox

LOADED = 1500  # ms after which everything that loads late is there
REST = 300  # ms after which the curves are there, and the window waits for a hand
TURN = 15  # ms between two rooms that load at rest
HANDS = (
    "app.gestures.move_points",
    "app.board.hover",
    "app.gestures.pose_car",
    "app.gestures.draw_result",
    "app.gestures.room_ends",
    "app.panels.proposing",
    "app.panels.lists.reading_dialog",
    "app.desk.point_menu",
)
"""What the first touch asks for, the most wanted first."""


def run(path: Path | None, arguments: list[str] | None = None) -> int:
    """Open the board on a setup, or on the invented first car, and return when it is closed."""
    app = application(arguments)
    window = open_window(path)
    window.show()
    QTimer.singleShot(AFTER_PAINT, lambda: _after_first_paint(window))
    QTimer.singleShot(REST, lambda: _load_hands(HANDS))
    status = app.exec()
    _note_opening(None)
    return int(status)


def application(arguments: list[str] | None = None) -> QApplication:
    """Return the one application, named so that settings and data find their places."""
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        # setting the style later would hand it over, for which PySide makes a large class
        app = QApplication([NAME, "-style", STYLE, *(arguments or [])])
        app.setProperty("styled", True)
    app.setApplicationName(NAME)
    app.setApplicationDisplayName("Wishboard")
    app.setOrganizationName(NAME)
    app.setApplicationVersion(VERSION)
    QGuiApplication.setDesktopFileName(NAME)
    ink(app, resolved(app, _paper_choice()))
    return app


def open_window(path: Path | None) -> Window:
    """Return the window on the car that was open last, or on the first car; then read `path`."""
    last = next(iter(recent_files()), None) if path is None else None
    session, trouble, remedy = _session_of(last) if last is not None else (None, "", "")
    window = Window(session or _session_of_sample())
    _catch_errors(window)
    if last is not None:
        window.hint.hide()  # it is for the very first start
    if last is not None and trouble:
        words = f"{trouble} Meanwhile, here is the invented first car."
        window.notice.offer(words, remedy, partial(window.filing.open_path, last), "Leave it")
    if path is not None:
        QTimer.singleShot(0, lambda: window.filing.read(path))
    return window


def _session_of_sample() -> Session:
    loaded = read_setup(first_sample(), limit_kinds=LIMIT_KINDS)
    session = Session(loaded.setup)
    session.loaded = loaded
    return session


def _session_of(last: Path) -> tuple[Session | None, str, str]:
    """Return a session on the car that was open last, or why not and words for what to do."""
    name = one_line(last.name)
    if not os.path.exists(last):
        return None, f"{name} was open last and isn't there any more.", ""
    if QSettings().value("opening", "", str) == str(last):
        return None, f"{name} was being opened when the program ended.", "Open it all the same"
    _note_opening(last)
    try:
        loaded = read_setup(last, limit_kinds=LIMIT_KINDS, partial=True)
        if any(missing_keys(loaded.setup.evidence)):
            return None, f"{name} was open last and isn't measured to the end.", "Go on with it"
        session = Session(loaded.setup)
        if session.study is None:
            solve_measured(loaded.setup)  # a proposal that can't be built is shown as such
    except SetupFaults:
        return None, f"{name} was open last and can't be read any more.", "See why"
    except Exception:  # whatever the car is: the program starts, and opening it says why not
        return None, f"{name} was open last and can't be shown any more.", "See why"
    session.loaded = loaded
    return session, "", ""


def _note_opening(path: Path | None) -> None:
    """Note on the disk which file is being opened: one that crashes the program isn't reopened."""
    settings = QSettings()
    if path is None:
        settings.remove("opening")
    else:
        settings.setValue("opening", str(path))
    settings.sync()


def _after_first_paint(window: Window) -> None:
    """Do the start-up work that can follow the first painting."""
    icon = Path(__file__).parents[1] / "icons" / f"{NAME}.svg"
    QApplication.setWindowIcon(QIcon(str(icon)))
    QTimer.singleShot(LOADED, _collect)
    window.filing.take_up_left_overs()
    window.offer_half_measured()


def _load_hands(names: tuple[str, ...]) -> None:
    """Load what a hand will ask for, a room a turn: a start's first picture is there before it."""
    import_module(names[0])
    if names[1:]:
        QTimer.singleShot(TURN, lambda: _load_hands(names[1:]))


def _collect() -> None:
    """Freeze all loaded objects: a full garbage collection during a drag would lose a frame."""
    _note_opening(None)
    gc.enable()
    gc.collect()
    gc.freeze()


def _catch_errors(window: Window) -> None:
    """Show a fault of the program once, and keep the work safe."""
    shown: list[str] = []
    boxes: list[FaultBox] = []  # the one, as soon as it is needed

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
        if not isinstance(error, Exception):
            return
        if not boxes:
            from app.desk.fault_box import FaultBox

            boxes.append(FaultBox(window))
        if not boxes[0].isVisible():  # or one box upon the other
            boxes[0].tell(f"{type(error).__name__}: {error}", text)

    sys.excepthook = caught
