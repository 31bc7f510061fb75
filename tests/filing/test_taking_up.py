"""Work that a crash left is taken up; work under the hand is kept."""

from __future__ import annotations

import shutil
import time
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.desk.window import Window
from app.document.files import read_setup
from app.document.recovery import Recovery, left_overs
from app.filing.filing import kept_ago, recovery_folder
from app.systems.every import LIMIT_KINDS
from tests.helpers.filing import TIE, kept, setup_in, take_up
from tests.helpers.hands import Hand
from tests.helpers.setup_edits import set_evidence

pytestmark = pytest.mark.gui


# Work that a crash left


def left_by_a_crash(car: Path, mass: float = 1111.0) -> None:
    """Leave work as a program does that dies: kept, and the lock free."""
    loaded = read_setup(car, limit_kinds=LIMIT_KINDS)
    place = Recovery(recovery_folder())
    place.keep(set_evidence(loaded.setup, "car.mass", mass), 1.0, car, loaded)
    assert place._lock is not None
    place._lock.close()


def test_what_is_taken_up_is_on_the_disk_until_it_is_saved(
    window: Window, car: Path, qtbot: QtBot
) -> None:
    left_by_a_crash(car)
    (before,) = kept()
    take_up(window)
    assert window.session.setup.evidence["car.mass"] == 1111.0
    assert window.isWindowModified()
    assert kept() == [before]
    session = window.session
    session.commit(set_evidence(session.setup, "car.mass", 1222.0), "type a mass")
    assert window.keeper.keep()
    assert kept() == [before]
    assert setup_in(before).evidence["car.mass"] == 1222.0
    assert window.filing.save()
    qtbot.waitUntil(lambda: not kept())
    assert setup_in(car).evidence["car.mass"] == 1222.0


def test_what_somebody_saved_since_the_crash_is_asked_about(window: Window, car: Path) -> None:
    left_by_a_crash(car)
    text = car.read_text()
    foreign = f"# somebody else was here\n{text.replace('Linnet', 'Lark')}"
    car.write_text(foreign)
    taken = take_up(window)
    assert not window.filing.save()
    assert car.read_text() == foreign
    assert "changed by something else" in taken.told[0]
    taken.may_overwrite = True
    assert window.filing.save()
    mended = car.read_text()
    assert "somebody else" not in mended
    assert "Lark" not in mended
    differing = set(mended.splitlines()) ^ set(text.splitlines())
    assert len(differing) == 2, "the remarks and lines of the file that the work began from"
    assert all("mass" in line for line in differing)


def test_what_nobody_changed_since_the_crash_is_saved_without_a_question(
    window: Window, car: Path
) -> None:
    left_by_a_crash(car)
    taken = take_up(window)
    assert window.filing.save()
    assert not taken.told


def test_work_that_cannot_be_shown_stays_and_hides_no_other(
    window: Window, car: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for mass in (1111.0, 666.0, 1333.0):
        left_by_a_crash(car, mass)
    before = window.session.setup

    def studied(setup: object) -> None:
        if setup.evidence["car.mass"] == 666.0:  # type: ignore[attr-defined]
            raise ZeroDivisionError("a car that nobody thought of")

    monkeypatch.setattr("app.filing.filing.solve_measured", studied)
    (bad,) = (
        left for left in left_overs(recovery_folder()) if left.setup().evidence["car.mass"] == 666.0
    )
    monkeypatch.setattr(
        "app.filing.filing.left_overs",
        lambda folder: sorted(left_overs(folder), key=lambda left: left.path != bad.path),
    )
    taken = take_up(window)
    assert taken.offered == 2
    assert "ZeroDivisionError: a car that nobody thought of" in taken.told[0]
    assert window.session.setup.evidence["car.mass"] in (1111.0, 1333.0)
    assert window.session.setup != before
    assert len(kept()) == 3
    assert bad.path in kept()


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(5.0, "a moment ago"), (-30.0, "a moment ago"), (2400.0, "40 minutes ago")],
)
def test_how_long_ago_work_was_kept_is_told(seconds: float, words: str) -> None:
    assert kept_ago(time.time() - seconds) == words


@pytest.mark.parametrize("seconds", [86_400.0 * 3, -86_400.0 * 3])  # or the clock was set back
def test_a_far_moment_is_told_with_its_day(seconds: float) -> None:
    when = time.time() - seconds
    assert time.strftime("%d %b %Y", time.localtime(when)) in kept_ago(when)
    assert kept_ago(1e300) == "some time ago"


def test_keeping_goes_on_when_the_folder_was_cleared_away(
    window: Window, hand: Hand, qtbot: QtBot
) -> None:
    hand.drag_mm(TIE, 0.0, 15.0)
    assert window.keeper.keep()
    shutil.rmtree(recovery_folder())
    before = window.session.setup
    hand.drag_mm(TIE, 0.0, -25.0)
    assert window.session.setup != before
    now = window.session.setup.changes
    qtbot.waitUntil(  # what was kept under the hand may come first
        lambda: any(setup_in(path).changes == now for path in kept()), timeout=20_000
    )


def test_a_drag_without_an_end_is_kept_meanwhile(window: Window, hand: Hand, qtbot: QtBot) -> None:
    hand.press(TIE)
    for _ in range(2):
        hand.move_mm(0.0, 15.0)
        setup = window.session.setup
        assert window.session.preview_setup is setup

        def is_kept(wanted: object = setup.changes) -> bool:
            (place,) = kept() or [Path("none")]
            moving = place.with_suffix(".moving")
            there = [path for path in (moving, place) if path.exists()]
            return any(setup_in(p).changes == wanted for p in there)

        qtbot.waitUntil(is_kept, timeout=20_000)
    assert kept()[0].with_suffix(".moving").exists()
    hand.let_go()
    assert window.keeper.keep()
    assert not kept()[0].with_suffix(".moving").exists()


def test_a_fault_in_keeping_is_said(
    window: Window, hand: Hand, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_args: object, **_options: object) -> str:
        raise ArithmeticError("odd")

    monkeypatch.setattr("app.document.recovery.text_of", fails)
    said: list[str] = []
    window.session.said.connect(said.append)
    hand.drag_mm(TIE, 0.0, 15.0)
    assert not window.keeper.keep()
    qtbot.waitUntil(lambda: any("a fault of the program (odd)" in words for words in said))
