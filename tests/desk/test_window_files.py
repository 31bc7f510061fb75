"""What a person takes from the window and gives it: files, sheets, pictures, tables."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu
from pytestqt.qtbot import QtBot

from app.desk.window import Window
from app.document.files import read_setup
from app.document.samples import first_sample
from app.filing.dialogs import Answer
from app.filing.filing import recovery_folder
from tests.helpers.answers import asker
from tests.helpers.hands import Hand

pytestmark = pytest.mark.gui


def test_saving_writes_the_change_and_keeps_the_remarks(window: Window, hand: Hand) -> None:
    path = window.session.path
    remarks = [line for line in path.read_text().splitlines() if line.startswith("#")]
    window.session.set_active(None)
    hand.drag_mm("front.tie_outer", 0.0, 15.0)
    assert window.isWindowModified()
    window.actions_.save.trigger()
    assert not window.isWindowModified()
    text = path.read_text()
    assert [line for line in text.splitlines() if line.startswith("#")] == remarks
    assert read_setup(path).setup.changes == window.session.setup.changes


def test_a_file_changed_by_someone_else_is_not_overwritten_unasked(
    window: Window, hand: Hand
) -> None:
    path = window.session.path
    window.session.set_active(None)
    hand.drag_mm("front.tie_outer", 0.0, 15.0)
    foreign = path.read_text() + "\n# somebody else was here\n"
    path.write_text(foreign)
    window.actions_.save.trigger()
    assert path.read_text() == foreign
    assert "changed by something else" in asker(window).told[0]
    asker(window).may_overwrite = True
    window.actions_.save.trigger()
    assert window.session.is_saved


def test_a_broken_file_shows_its_faults_and_the_board_stays(window: Window, tmp_path: Path) -> None:
    setup = window.session.setup
    broken = tmp_path / "broken.toml"
    broken.write_text(first_sample().read_text().replace("upper_rear", "uper_rear"))
    asker(window).open_from = broken
    window.actions_.open.trigger()
    assert any("upper_rear" in str(fault) for fault in asker(window).faults)
    assert all(fault.line for fault in asker(window).faults[:1])
    assert window.session.setup is setup


def test_unsaved_work_is_asked_about_before_the_window_closes(window: Window, hand: Hand) -> None:
    window.session.set_active(None)
    hand.drag_mm("front.tie_outer", 0.0, 15.0)
    asker(window).on_unsaved = Answer.CANCEL
    assert not window.close()
    assert window.isVisible()
    asker(window).on_unsaved = Answer.SAVE
    assert window.close()
    assert read_setup(window.session.path).setup.changes == window.session.setup.changes


def test_unsaved_work_is_kept_aside_unasked(window: Window, hand: Hand, qtbot: QtBot) -> None:
    window.session.set_active(None)
    hand.drag_mm("front.tie_outer", 0.0, 15.0)
    folder = recovery_folder()

    def is_kept() -> bool:
        kept = list(folder.glob("rec-*.toml"))
        changes = window.session.setup.changes
        return bool(kept) and read_setup(kept[0], partial=True).setup.changes == changes

    qtbot.waitUntil(is_kept, timeout=20_000)
    window.actions_.save.trigger()
    qtbot.waitUntil(lambda: not list(folder.glob("rec-*.toml")))


@pytest.mark.parametrize("name", ["other.toml", "OTHER.TOML"])
def test_a_dropped_setup_is_opened(window: Window, tmp_path: Path, qtbot: QtBot, name: str) -> None:
    other = tmp_path / name
    shutil.copy(first_sample().with_name("torsion_coupe.toml"), other)
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(other))])
    buttons = Qt.MouseButton.LeftButton
    actions, plain = Qt.DropAction.CopyAction, Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(QPoint(500, 500), actions, mime, buttons, plain)
    QApplication.sendEvent(window, enter)
    assert enter.isAccepted()
    QApplication.sendEvent(window, QDropEvent(QPointF(500, 500), actions, mime, buttons, plain))
    qtbot.waitUntil(lambda: window.session.path == other)


def test_the_sheet_is_written_from_the_window(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[QUrl] = []
    monkeypatch.setattr("app.desk.printing.QDesktopServices.openUrl", opened.append)
    asker(window).save_to = tmp_path / "sheet.pdf"
    window.actions_.sheet.trigger()
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF")
    assert opened[0].fileName() == "sheet.pdf"


@pytest.mark.parametrize(("name", "start"), [("t.pdf", b"%PDF"), ("t.dxf", b"  0\nSECTION")])
def test_the_drill_template_is_written_by_its_keys(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, start: bytes
) -> None:
    opened: list[QUrl] = []
    monkeypatch.setattr("app.desk.printing.QDesktopServices.openUrl", opened.append)
    asker(window).save_to = tmp_path / name
    QTest.keyClick(window, Qt.Key.Key_T, Qt.KeyboardModifier.ControlModifier)
    assert (tmp_path / name).read_bytes().startswith(start)
    assert opened[0].fileName() == name


def test_a_car_with_nothing_to_drill_says_so(window: Window, tmp_path: Path) -> None:
    session = window.session
    session.commit(session.setup.having(changes=()), "All off")
    asker(window).save_to = tmp_path / "t.pdf"
    window.actions_.template.trigger()
    assert any("has no hole to drill" in words for words in asker(window).told)
    assert not (tmp_path / "t.pdf").exists()


def test_the_menu_leaves_pages_out_of_the_sheet(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.desk.printing.QDesktopServices.openUrl", lambda _url: True)
    asker(window).save_to = tmp_path / "sheet.pdf"
    counts = []
    for _ in range(2):
        window.actions_.sheet.trigger()
        counts.append(len(PdfReader(tmp_path / "sheet.pdf").pages))
        menus = window.menuBar().findChildren(QMenu)
        menu = next(menu for menu in menus if menu.title() == "&With the sheet")
        menu.aboutToShow.emit()
        action = next(action for action in menu.actions() if "template" in action.text())
        action.trigger()
    assert counts[0] > counts[1] >= 3


def test_which_ends_the_sheet_covers_is_chosen_in_the_menu_and_kept(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.desk.printing.QDesktopServices.openUrl", lambda url: None)
    asker(window).save_to = tmp_path / "sheet.pdf"
    menus = [menu for menu in window.findChildren(QMenu) if "covers" in menu.title()]
    assert [menu.title() for menu in menus] == ["Setup sheet &covers"]
    choices = {action.text(): action for action in menus[0].actions()}
    menus[0].aboutToShow.emit()
    assert choices["Where there is &work"].isChecked()
    choices["The &rear"].trigger()
    window.actions_.sheet.trigger()
    text = " ".join(page.extract_text() for page in PdfReader(tmp_path / "sheet.pdf").pages)
    assert "Rear suspension" in text
    assert "Front suspension" not in text
    menus[0].aboutToShow.emit()
    assert choices["The &rear"].isChecked()


EXPORTS = [
    ("drawing", "d.png", b"\x89PNG"),
    ("drawing", "d.svg", b"<?xml"),
    ("curves", "c.png", b"\x89PNG"),
    ("drawing", "d.pdf", b"%PDF"),
    ("side-view", "s.pdf", b"%PDF"),
    ("curves", "c.pdf", b"%PDF"),
    ("points", "p.csv", b"\xef\xbb\xbf"),
    ("results", "r.csv", b"\xef\xbb\xbf"),
    ("curve-table", "t.csv", b"\xef\xbb\xbf"),
]


def exported(window: Window, folder: Path) -> list[bytes]:
    files = []
    for what, name, _start in EXPORTS:
        asker(window).save_to = folder / name
        window.export(what)
        files.append((folder / name).read_bytes())
    return files


def test_drawings_curves_and_tables_are_exported(window: Window, tmp_path: Path) -> None:
    front = exported(window, tmp_path)
    window.change_over()
    rear = exported(window, tmp_path)
    for (what, name, start), of_front, of_rear in zip(EXPORTS, front, rear, strict=True):
        assert of_front.startswith(start), (what, name)
        assert of_rear.startswith(start), (what, name)
        assert of_rear != of_front, (what, name)


def test_pictures_and_tables_are_put_on_the_clipboard(window: Window) -> None:
    clipboard = QApplication.clipboard()
    for what in ("drawing", "curves"):
        clipboard.clear()
        window.copy(what)
        assert clipboard.image().width() > 2000
    window.copy("results")
    head = next(line for line in clipboard.text().splitlines() if line.startswith("Group"))
    assert head.split("\t")[1:7] == ["Result", "Wheel", "Unit", "As found", "As built", "Change"]
