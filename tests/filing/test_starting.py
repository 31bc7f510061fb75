"""A start goes on with the last car; a half-measured one is offered."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.desk.main import open_window
from app.desk.window import Window
from app.document.files import read_setup
from app.document.samples import first_sample
from app.entry.guide import MeasureWindow, correct_car
from app.filing.filing import recovery_folder
from app.systems.every import LIMIT_KINDS
from tests.helpers.filing import kept, recent_menu, setup_in

pytestmark = pytest.mark.gui


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
