"""Opening, saving and leaving by hand: nothing is lost and nothing is overwritten unasked."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QDialog,
    QFileDialog,
    QLabel,
    QLineEdit,
    QTextBrowser,
)
from pytestqt.qtbot import QtBot

from app.desk.window import Window
from app.document.edits import set_title
from app.document.faults import Fault
from app.filing.dialogs import Answer, Dialogs, Overwriting, with_ending
from app.filing.faults_dialog import FaultsDialog
from tests.helpers.filing import TIE, Presses, answers, press, recent_menu, setup_in
from tests.helpers.hands import Hand
from tests.helpers.long_cases import LONG

pytestmark = pytest.mark.gui

RICH = '<img src="file:///nowhere.png"> <h1>Saved safely</h1>'


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


def escape(dialog: QDialog) -> None:
    QTest.keyClick(dialog, Qt.Key.Key_Escape)


def enter(dialog: QDialog) -> None:
    QTest.keyClick(dialog, Qt.Key.Key_Return)


# Save as


def test_save_as_over_another_car_asks_when_the_ending_is_added(
    window: Window, hand: Hand, dialogs: Dialogs, car: Path
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


def test_save_as_under_a_new_name_asks_nothing(window: Window, dialogs: Dialogs, car: Path) -> None:
    presses = Presses(types("Tern 1.6"))
    assert window.filing.save_as(), presses.said
    assert window.session.path == car.with_name("Tern 1.6.toml")
    assert not presses.said


@pytest.mark.parametrize(
    ("what", "typed", "kind", "written"),
    [
        ("sheet", "paper", "", "paper.pdf"),
        pytest.param("template", "holes", "", "holes.pdf", marks=LONG),
        ("template", "holes", "DXF drawing (*.dxf)", "holes.dxf"),
        pytest.param("drawing", "board", "", "board.png", marks=LONG),
        ("drawing", "board", "SVG drawing (*.svg)", "board.svg"),
        pytest.param("curves", "lines.svg", "", "lines.svg", marks=LONG),
        ("points", "table", "", "table.csv"),
    ],
)
def test_nothing_written_replaces_a_file_unasked(
    window: Window,
    dialogs: Dialogs,
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
    own = {"sheet": window.save_sheet, "template": window.save_template}
    write = own.get(what, lambda: window.export(what))
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
    window: Window, hand: Hand, dialogs: Dialogs, car: Path
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


# Text is text


@pytest.mark.parametrize("which", ["unsaved", "overwrite", "take_up", "tell", "replace"])
def test_what_a_file_says_is_never_rich_text_in_a_question(
    window: Window, dialogs: Dialogs, which: str
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


def test_a_title_without_end_fits_the_question(window: Window, dialogs: Dialogs) -> None:
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
