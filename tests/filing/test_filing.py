"""Opening, saving and leaving by hand: nothing is lost and nothing is overwritten unasked."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, Qt, QTimer
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QFileDialog,
    QLabel,
    QLineEdit,
    QMenu,
    QMessageBox,
    QPushButton,
    QTextBrowser,
)
from pytestqt.qtbot import QtBot

from app.desk.main import application, open_window
from app.desk.window import Window
from app.document.edits import set_title
from app.document.faults import Fault
from app.document.files import read_setup
from app.document.model import Setup
from app.document.recovery import Recovery, left_overs
from app.document.samples import first_sample
from app.drawing.views import View
from app.entry.guide import MeasureWindow, correct_car
from app.filing.asking import Answer, Asker, Overwriting, with_ending
from app.filing.faults_dialog import FaultsDialog
from app.filing.filing import kept_ago, recovery_folder
from app.words.limit_kinds import LIMIT_KINDS
from tests.desk.test_window import Answers
from tests.helpers.hands import Hand
from tests.helpers.setup_edits import set_evidence

pytestmark = pytest.mark.gui

REAL = (QMessageBox.exec, QDialog.exec)
TIE = "front.tie_outer"
RICH = '<img src="file:///nowhere.png"> <h1>Saved safely</h1>'


@pytest.fixture
def car(tmp_path: Path) -> Path:
    return Path(shutil.copy(first_sample(), tmp_path / "car.toml"))


@pytest.fixture
def window(qtbot: QtBot, car: Path) -> Iterator[Window]:
    application()
    window = open_window(None)
    window.asker = window.filing.asker = Answers(window)
    assert window.filing.read(car)
    window.session.set_active(None)
    window.resize(1600, 1000)
    with qtbot.waitExposed(window):
        window.show()
    QApplication.processEvents()
    yield window
    window.filing.asker = Answers(window)  # doesn't want what is unsaved
    window.close()
    window.deleteLater()


@pytest.fixture
def hand(window: Window) -> Hand:
    return Hand(window.board.views[View.FRONT])


@pytest.fixture
def dialogs(window: Window, monkeypatch: pytest.MonkeyPatch) -> Iterator[Asker]:
    """Let the real dialogs come, Qt's own ones."""
    monkeypatch.setattr(QMessageBox, "exec", REAL[0])
    monkeypatch.setattr(QDialog, "exec", REAL[1])
    native = Qt.ApplicationAttribute.AA_DontUseNativeDialogs
    QApplication.setAttribute(native)
    window.asker = window.filing.asker = Asker(window)
    yield window.asker
    QApplication.setAttribute(native, False)
    if Presses.now is not None:
        Presses.now.clock.stop()


def answers(window: Window) -> Answers:
    assert isinstance(window.asker, Answers)
    return window.asker


def setup_in(path: Path) -> Setup:
    return read_setup(path, limit_kinds=LIMIT_KINDS, partial=True).setup


class Presses:
    """Answers one dialog after another as they come; remembers what each said."""

    now: Presses | None = None  # the last one made; it lives until the next

    def __init__(self, *steps: Callable[[QDialog], None]) -> None:
        if Presses.now is not None:
            Presses.now.clock.stop()
        Presses.now = self
        self.steps = list(steps)
        self.said: list[str] = []
        self.is_busy = False
        self.clock = QTimer(interval=30)
        self.clock.timeout.connect(self._look)
        self.clock.start()

    def _look(self) -> None:
        dialog = QApplication.activeModalWidget()
        if not isinstance(dialog, QDialog) or self.is_busy:
            return
        if isinstance(dialog, QMessageBox):
            self.said.append(f"{dialog.text()} {dialog.informativeText()}")
        self.is_busy = True  # a step may wait, and this clock goes on
        if self.steps:
            self.steps.pop(0)(dialog)
        else:
            self.said.append("an unexpected dialog")
            dialog.reject()
        self.is_busy = False


def types(name: str, kind: str = "") -> Callable[[QDialog], None]:
    def type_it(dialog: QDialog) -> None:
        assert isinstance(dialog, QFileDialog)
        if kind:
            dialog.selectNameFilter(kind)
        field = dialog.findChild(QLineEdit, "fileNameEdit")
        assert isinstance(field, QLineEdit)
        QTest.qWait(150)  # it puts its suggestion in once more when it has read the folder
        field.setCompleter(None)  # type: ignore[arg-type]  # no popup without a display
        field.setFocus()
        field.selectAll()
        QTest.keyClicks(field, name)
        QTest.keyClick(field, Qt.Key.Key_Return)

    return type_it


def press(words: str) -> Callable[[QDialog], None]:
    def press_it(dialog: QDialog) -> None:
        (button,) = (b for b in dialog.findChildren(QPushButton) if b.text() == words)
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)

    return press_it


def escape(dialog: QDialog) -> None:
    QTest.keyClick(dialog, Qt.Key.Key_Escape)


def enter(dialog: QDialog) -> None:
    QTest.keyClick(dialog, Qt.Key.Key_Return)


# Save as


def test_save_as_over_another_car_asks_when_the_ending_is_added(
    window: Window, hand: Hand, dialogs: Asker, car: Path
) -> None:
    victim = car.with_name("victim.toml")
    victim.write_text("somebody's work")
    hand.drag_mm(TIE, 0.0, 15.0)
    presses = Presses(types("victim"), press("Cancel"), types("victim"), enter, escape)
    assert not window.filing.save_as()
    assert victim.read_text() == "somebody's work"
    assert [words.partition(".")[0] for words in presses.said] == ["victim"] * 2
    assert not window.session.is_saved
    presses = Presses(types("victim"), press("Replace"))
    assert window.filing.save_as()
    assert window.session.path == victim
    assert setup_in(victim) == window.session.setup


def test_save_as_under_a_new_name_asks_nothing(window: Window, dialogs: Asker, car: Path) -> None:
    presses = Presses(types("Tern 1.6"))
    assert window.filing.save_as(), presses.said
    assert window.session.path == car.with_name("Tern 1.6.toml")
    assert not presses.said


@pytest.mark.parametrize(
    ("what", "typed", "kind", "written"),
    [
        ("sheet", "paper", "", "paper.pdf"),
        ("drawing", "board", "", "board.png"),
        ("drawing", "board", "SVG drawing (*.svg)", "board.svg"),
        ("curves", "lines.svg", "", "lines.svg"),
        ("points", "table", "", "table.csv"),
    ],
)
def test_nothing_written_replaces_a_file_unasked(
    window: Window,
    dialogs: Asker,
    car: Path,
    monkeypatch: pytest.MonkeyPatch,
    what: str,
    typed: str,
    kind: str,
    written: str,
) -> None:
    monkeypatch.setattr("app.desk.printing.QDesktopServices.openUrl", lambda _url: True)
    victim = car.with_name(written)
    victim.write_text("somebody's work")
    write = window.save_sheet if what == "sheet" else lambda: window.export(what)
    presses = Presses(types(typed, kind), press("Cancel"), escape)
    write()
    assert victim.read_text() == "somebody's work"
    assert presses.said[0].startswith(f"{written} is there already.")
    Presses(types(typed, kind), press("Replace"))
    write()
    assert victim.read_bytes() != b"somebody's work"
    assert sorted(path.name for path in car.parent.glob("*.*")) == sorted([car.name, written])


@pytest.mark.parametrize(
    ("typed", "kind", "name"),
    [
        ("car", "Setups (*.toml)", "car.toml"),
        ("car", "All files (*)", "car.toml"),
        ("car.TOML", "Setups (*.toml)", "car.TOML"),
        ("car.txt", "All files (*)", "car.txt"),
        ("Tern 1.6", "Setups (*.toml)", "Tern 1.6.toml"),
        ("car", "SVG drawing (*.svg)", "car.svg"),
        (".car", "Setups (*.toml)", ".car.toml"),
    ],
)
def test_a_name_gets_the_ending_of_its_kind_once(typed: str, kind: str, name: str) -> None:
    path = with_ending(Path("/cars") / typed, kind, ".toml")
    assert path == Path("/cars") / name
    assert with_ending(path, kind, ".toml") == path


def test_save_as_over_the_opened_file_still_asks_when_somebody_changed_it(
    window: Window, hand: Hand, car: Path
) -> None:
    hand.drag_mm(TIE, 0.0, 15.0)
    foreign = car.read_text() + "\n# somebody else was here\n"
    car.write_text(foreign)
    answers(window).save_to = car
    assert not window.filing.save_as()
    assert "changed by something else" in answers(window).told[0]
    assert car.read_text() == foreign


def test_the_overwrite_question_offers_another_name_and_cancels_by_default(
    window: Window, hand: Hand, dialogs: Asker, car: Path
) -> None:
    hand.drag_mm(TIE, 0.0, 15.0)
    foreign = car.read_text() + "\n# somebody else was here\n"
    car.write_text(foreign)
    for answer in (enter, escape, press("Cancel")):
        Presses(answer)
        assert not window.filing.save()
    Presses(press("Save as…"), types("mine"))
    assert window.filing.save()
    assert car.read_text() == foreign
    assert "somebody else" not in car.with_name("mine.toml").read_text()
    assert window.session.is_saved
    assert window.session.path == car.with_name("mine.toml")


def test_a_file_that_became_a_circle_of_links_is_told_and_the_work_stays(
    window: Window, hand: Hand, car: Path
) -> None:
    hand.drag_mm(TIE, 0.0, 15.0)
    setup = window.session.setup
    car.unlink()
    car.symlink_to(car.name)
    for save in (window.filing.save, window.filing.save_as):
        answers(window).save_to = car
        assert not save()
    assert (
        answers(window).told
        == ["car.toml could not be saved: the link leads nowhere. Nothing was changed on the disk."]
        * 2
    )
    assert window.session.setup is setup
    assert not window.session.is_saved
    answers(window).save_to = car.with_name("other.toml")
    assert window.filing.save_as()


# A drag that is held


def held(window: Window, hand: Hand) -> None:
    hand.press(TIE)
    hand.move_mm(0.0, 15.0)
    assert window.session.preview_setup is not None


def is_one_clean_step(window: Window, hand: Hand) -> bool:
    """Tell whether the drag is one step, and moving on and letting go does nothing more."""
    session = window.session
    setup, steps = session.history.value, len(session.history.steps)
    hand.move_mm(30.0, 30.0)
    hand.let_go()
    hand.move_mm(5.0, 5.0)
    is_free = not hand.view.is_dragging() and session.preview_setup is None
    return is_free and session.history.value is setup and steps == 2


def test_saving_while_a_drag_is_held_saves_the_drag(
    window: Window, hand: Hand, qtbot: QtBot, car: Path
) -> None:
    held(window, hand)
    qtbot.keyClick(window, Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    saved = setup_in(car)
    assert saved == window.session.setup
    assert TIE in saved.changes[-1].moves
    assert is_one_clean_step(window, hand)
    assert window.session.is_saved
    assert not window.isWindowModified()


@pytest.mark.parametrize("leave", ["close", "open", "open_path", "measure_new", "quit"])
def test_leaving_while_a_drag_is_held_asks_about_it(
    window: Window, hand: Hand, tmp_path: Path, leave: str
) -> None:
    other = Path(shutil.copy(first_sample(), tmp_path / "other.toml"))
    answers(window).open_from = other
    answers(window).on_unsaved = Answer.CANCEL
    ways: dict[str, Callable[[], object]] = {
        "close": window.close,
        "open": window.actions_.open.trigger,
        "open_path": lambda: window.filing.open_path(other),
        "measure_new": window.actions_.new_car.trigger,
        "quit": window.actions_.quit.trigger,
    }
    held(window, hand)
    moved = window.session.setup
    ways[leave]()
    assert window.isVisible()
    assert window.session.setup == moved
    assert not window.session.is_saved
    assert is_one_clean_step(window, hand)


def test_closing_while_a_drag_is_held_saves_it_when_told_so(
    window: Window, hand: Hand, car: Path
) -> None:
    held(window, hand)
    moved = window.session.setup
    answers(window).on_unsaved = Answer.SAVE
    assert window.close()
    assert setup_in(car) == moved
    hand.let_go()


def test_a_dialog_that_comes_over_a_drag_leaves_no_hand_behind(
    window: Window, hand: Hand, dialogs: Asker
) -> None:
    held(window, hand)
    moved = window.session.setup
    Presses(press("Close"))
    window.actions_.help.trigger()
    assert window.session.setup == moved
    assert is_one_clean_step(window, hand)


def test_a_held_drag_to_where_nothing_can_be_built_is_not_saved(
    window: Window, hand: Hand, car: Path
) -> None:
    text = car.read_text()
    hand.press("front.upper_front")
    hand.move_mm(-60.0, 300.0)
    hand.move_mm(-250.0, 900.0)
    assert window.session.problem is not None
    window.actions_.save.trigger()
    assert window.session.problem is None
    assert car.read_text() == text


# Work that a crash left


def left_by_a_crash(car: Path, mass: float = 1111.0) -> None:
    """Leave work as a program does that dies: kept, and the lock free."""
    loaded = read_setup(car, limit_kinds=LIMIT_KINDS)
    place = Recovery(recovery_folder())
    place.keep(set_evidence(loaded.setup, "car.mass", mass), 1.0, car, loaded)
    assert place._lock is not None
    place._lock.close()


class Takes(Answers):
    """Takes up what is offered."""

    offered = 0

    def take_up(self, title: str, when: str) -> bool | None:
        self.offered += 1
        return True


def take_up(window: Window) -> Takes:
    window.asker = window.filing.asker = Takes(window)
    window.filing.take_up_left_overs()
    return window.asker


def kept() -> list[Path]:
    return sorted(recovery_folder().glob("rec-*.toml"))


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
    hand.drag_mm(TIE, 0.0, -5.0)
    qtbot.waitUntil(lambda: bool(kept()))
    assert setup_in(kept()[0]).changes == window.session.setup.changes


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

        qtbot.waitUntil(is_kept)
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


# A start


def test_a_start_goes_on_with_the_last_car(window: Window, car: Path) -> None:
    again = open_window(None)
    assert again.session.path == car
    assert again.session.is_saved
    assert not again.hint.isVisibleTo(again)
    assert not again.notice.isVisibleTo(again)


def test_the_very_first_start_shows_the_sample() -> None:
    window = open_window(None)
    assert window.session.path == first_sample()
    assert window.hint.isVisibleTo(window)
    assert not window.notice.isVisibleTo(window)


@pytest.mark.parametrize(
    ("damage", "words"),
    [
        (lambda path: path.unlink(), "isn't there any more"),
        (lambda path: path.write_text("format = 1\n\x00"), "can't be read any more"),
        (lambda path: QSettings().setValue("opening", str(path)), "when the program ended"),
        (
            lambda path: path.write_text(
                "".join(
                    line
                    for line in path.read_text().splitlines(keepends=True)
                    if not line.startswith("upper_ball")
                )
            ),
            "isn't measured to the end",
        ),
    ],
)
def test_a_last_car_that_cannot_be_shown_is_said_and_the_sample_comes(
    window: Window, car: Path, damage: Callable[[Path], object], words: str
) -> None:
    damage(car)
    again = open_window(None)
    assert again.session.path == first_sample()
    assert again.notice.isVisibleTo(again)
    assert words in again.notice.words.text()
    assert again.notice.act.isVisibleTo(again) == car.exists()


def test_a_last_car_that_no_study_can_take_is_said(
    window: Window, car: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(path: Path, **_options: object) -> object:
        if path == car:
            raise ZeroDivisionError
        return read_setup(path, limit_kinds=LIMIT_KINDS)

    monkeypatch.setattr("app.desk.main.read_setup", fails)
    again = open_window(None)
    assert again.session.path == first_sample()
    assert "can't be shown any more" in again.notice.words.text()


def test_damaged_settings_of_recent_files_keep_nobody_from_starting(tmp_path: Path) -> None:
    QSettings().setValue("recent", ["", "a\0b", str(tmp_path), "x" * 5000])
    window = open_window(None)
    assert window.session.path == first_sample()
    assert window.filing.recent() == [tmp_path]


# Cars half measured


def guide_of(window: Window) -> MeasureWindow:
    (guide,) = window.findChildren(MeasureWindow)
    guide.ask_closing = lambda _parent: "keep"
    return guide


def recent_menu(window: Window) -> QMenu:
    (menu,) = (
        each
        for each in window.findChildren(QMenu)
        if each.title().replace("&", "") == "Open recent"
    )
    menu.aboutToShow.emit()
    return menu


def test_a_half_measured_car_is_offered_at_the_start_and_where_one_looks(
    window: Window, qtbot: QtBot
) -> None:
    window.actions_.new_car.trigger()
    guide = guide_of(window)
    guide.sitting.set_title("Half & half <b>")
    guide.close()
    assert recent_menu(window).actions()[0].text() == "Half && half <b>: go on measuring"
    (damaged,) = (recovery_folder().with_name("measuring")).glob("car-*.json")
    damaged.with_name("car-aa.json").write_text("[" * 100_000)  # hides no other
    again = open_window(None)
    again.offer_half_measured()
    assert again.notice.isVisibleTo(again)
    assert again.notice.words.text().startswith("“Half & half <b>” was left half measured today.")
    assert again.notice.words.textFormat() is Qt.TextFormat.PlainText
    QTest.mouseClick(again.notice.later, Qt.MouseButton.LeftButton)
    assert again.notice.isHidden()
    again.offer_half_measured()
    QTest.mouseClick(again.notice.act, Qt.MouseButton.LeftButton)
    guide = guide_of(again)
    assert guide.sitting.finished_setup.title == "Half & half <b>"
    assert again.notice.isHidden()
    guide.ask_closing = lambda _parent: "throw away"
    guide.close()
    assert again.half_measured() == ()


def test_a_finished_car_is_put_away_once_the_board_has_kept_it(window: Window) -> None:
    guide = correct_car(window, window.session, keep=window.keeper.keep)
    guide.sitting.set_title("Tern")
    guide.keep()
    assert guide.shelf is not None
    place = guide.shelf.path
    assert place.exists()
    guide.finish()
    assert window.session.setup.title == "Tern"
    assert setup_in(kept()[0]).title == "Tern"
    assert not place.exists()


def test_a_finished_car_stays_on_the_shelf_while_it_cannot_be_kept(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_args: object, **_options: object) -> None:
        raise OSError(28, "No space left on device")

    guide = correct_car(window, window.session, keep=window.keeper.keep)
    guide.sitting.set_title("Tern")
    guide.keep()
    assert guide.shelf is not None
    place = guide.shelf.path
    monkeypatch.setattr("app.document.recovery.write_whole", full)
    guide.finish()
    assert place.exists()
    assert [car.path for car in window.half_measured()] == [place]


# Text is text


@pytest.mark.parametrize("which", ["unsaved", "overwrite", "take_up", "tell", "replace"])
def test_what_a_file_says_is_never_rich_text_in_a_question(
    window: Window, dialogs: Asker, which: str
) -> None:
    labels: list[QLabel] = []

    def look(dialog: QDialog) -> None:
        labels.extend(each for each in dialog.findChildren(QLabel) if each.text())
        assert not any(each.textFormat() is not Qt.TextFormat.PlainText for each in labels)
        assert not any("\x1b" in each.text() or "\u202e" in each.text() for each in labels)
        assert any(RICH in each.text() for each in labels)
        dialog.reject()

    ask: dict[str, Callable[[str], object]] = {
        "unsaved": dialogs.unsaved,
        "overwrite": dialogs.overwrite,
        "take_up": lambda words: dialogs.take_up(words, "a moment ago"),
        "tell": lambda words: dialogs.tell("Not saved", words),
        "replace": dialogs.replace,
    }
    Presses(look)
    answer = ask[which](f"{RICH}\x1b[2J\u202e")
    assert answer in (Answer.CANCEL, Overwriting.CANCEL, None, False)
    assert labels


def test_a_title_without_end_fits_the_question(window: Window, dialogs: Asker) -> None:
    presses = Presses(escape)
    dialogs.unsaved("long " * 5000)
    assert len(presses.said[0]) < 200


def test_the_list_of_faults_shows_names_and_findings_as_they_are_written(
    qtbot: QtBot,
) -> None:
    dialog = FaultsDialog(f"{RICH}\n\x1b.toml", (Fault("car", 3, RICH, RICH, RICH, f"{RICH}\x07"),))
    qtbot.addWidget(dialog)
    text = dialog.findChildren(QLabel)[0].text()
    assert "<img" not in text
    assert "\x1b" not in text
    browser = dialog.findChild(QTextBrowser)
    assert isinstance(browser, QTextBrowser)
    assert browser.toPlainText().count("Saved safely</h1>") == 4
    assert "\x07" not in browser.toPlainText()


def test_a_files_name_with_odd_signs_is_shown_in_the_title_as_it_is(
    window: Window, car: Path
) -> None:
    odd = Path(shutil.copy(car, car.with_name("a[*]\nb.toml")))
    assert window.filing.read(odd)
    assert window.windowTitle() == "a[*][*] b.toml[*] – Wishboard"
    assert os.path.exists(odd)


def test_every_menu_that_names_files_takes_an_ampersand(window: Window, car: Path) -> None:
    assert window.filing.read(Path(shutil.copy(car, car.with_name("A&B.toml"))))
    actions: list[QAction] = recent_menu(window).actions()
    assert "A&&B.toml" in [each.text() for each in actions]


def test_a_title_set_to_rich_text_stays_in_the_setup_as_typed(window: Window, car: Path) -> None:
    session = window.session
    session.commit(set_title(session.setup, RICH), "name the car")
    assert window.filing.save()
    assert setup_in(car).title == RICH
