"""A process that works on a setup until it is killed: `python -m tests.attack.worker KIND FILE`.

It says what it has done, a line at a time, as soon as it is done: a mark of the work and when.
Kinds: "drag" works through the session, "save" also saves each step, "window" uses the mouse.
"""

from __future__ import annotations

import hashlib
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from random import Random

from PySide6.QtCore import QCoreApplication

from app.document.files import LoadedSetup, read_setup, write_setup
from app.document.model import Setup
from app.drawing.views import View
from app.filing.recovery_writer import RecoveryWriter
from app.gestures.target import with_target
from app.session.session import Session
from app.systems.every import LIMIT_KINDS
from tests.helpers import setup_edits

REST = 0.012  # s between two moves, as of a mouse


def mark_of(setup: Setup) -> str:
    """Return a short mark of what was worked on: notes and moves, as exact as a file is."""
    moves = [
        (change.name, change.on, key, tuple(round(part, 6) + 0.0 for part in move))
        for change in setup.changes
        for key, move in sorted(change.moves.items())
    ]
    return hashlib.sha256(repr((setup.notes, moves)).encode()).hexdigest()[:16]


def _say(what: str, setup: Setup) -> None:
    print(what, mark_of(setup), repr(time.time()), flush=True)


def _work(path: Path, chance: Random, saves: bool) -> None:
    """Drag, let go, take back; with a number in the notes, so that no two states are alike."""
    loaded = _loaded(path)
    session = Session(loaded.setup)
    session.loaded = loaded
    keeper = RecoveryWriter(session)
    _say("ready", session.setup)
    for number in _numbers():
        setup, index = with_target(session.history.value, session.active)
        for step in range(chance.randrange(1, 20)):
            moved = setup_edits.move_point(setup, index, "front.upper_ball", (0.0, 0.1 * step, 0.2))
            session.preview(setup_edits.set_notes(moved, f"work {number}.{step}"))
            _say("worked", session.setup)
            _pause()
        session.commit(session.setup, "work", None)
        if saves:
            _say("saves", session.setup)
            session.saved(write_setup(path, session.setup, session.loaded))
        if chance.random() < 0.1:
            session.undo()
        _say("worked", session.setup)
    keeper.close()


def _loaded(path: Path) -> LoadedSetup:
    return read_setup(path, limit_kinds=LIMIT_KINDS)


def _numbers() -> Iterator[int]:
    number = 0
    while True:
        number += 1
        yield number


def _pause() -> None:
    QCoreApplication.processEvents()
    time.sleep(REST)


def _use_the_mouse(path: Path, chance: Random) -> None:
    from app.desk.main import application, open_window
    from tests.helpers.hands import Hand

    application()
    window = open_window(None)
    window.resize(1280, 800)
    window.show()
    assert window.filing.read(path)
    _pause()
    hand = Hand(window.board.views[View.FRONT])
    _say("ready", window.session.setup)
    while True:
        window.session.select(())
        hand.press(chance.choice(("front.upper_front", "front.upper_ball", "front.tie_inner")))
        for _ in range(chance.randrange(1, 12)):
            hand.move(chance.uniform(-12, 12), chance.uniform(-12, 12))
            _say("worked", window.session.setup)
            _pause()
        hand.let_go()
        _say("worked", window.session.setup)
        _pause()


def main() -> None:
    """Work until killed."""
    kind, path, seed = sys.argv[1], Path(sys.argv[2]), sys.argv[3]
    if kind == "window":
        _use_the_mouse(path, Random(seed))
    else:
        application = QCoreApplication(["wishboard"])
        application.setApplicationName("wishboard")
        application.setOrganizationName("wishboard")
        _work(path, Random(seed), kind == "save")


if __name__ == "__main__":
    main()
