"""What a person does with the window: drag, read, take back, save, print."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QMimeData, QPoint, QPointF, QSettings, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu, QWidget
from pytestqt.qtbot import QtBot

from app.desk.head import Head
from app.desk.main import application, open_window
from app.desk.window import Window
from app.document.faults import Fault
from app.document.files import read_setup
from app.document.model import Change, FrozenMap
from app.document.recovery import left_overs
from app.document.samples import first_sample
from app.drawing.views import View
from app.filing.dialogs import Answer, Dialogs, Overwriting
from app.filing.filing import recovery_folder
from app.systems.rear.system import REAR
from geometry.errors import LegsDontMeet
from tests.helpers.hands import Hand
from tests.helpers.long_cases import typical_of

pytestmark = pytest.mark.gui

UPPER = ("front.upper_front", "front.upper_rear")
ALT = Qt.KeyboardModifier.AltModifier
CONTROL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


class Answers(Dialogs):
    """Answers questions as a test says, and remembers what was told."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.open_from: Path | None = None
        self.save_to: Path | None = None
        self.on_unsaved = Answer.DISCARD
        self.may_overwrite = False
        self.told: list[str] = []
        self.faults: tuple[Fault, ...] = ()

    def file_to_open(self, folder: Path) -> Path | None:
        return self.open_from

    def file_to_save(self, title: str, suggestion: Path, kinds: str) -> Path | None:
        return self.save_to

    def unsaved(self, title: str) -> Answer:
        return self.on_unsaved

    def overwrite(self, words: str) -> Overwriting:
        self.told.append(words)
        return Overwriting.OVERWRITE if self.may_overwrite else Overwriting.CANCEL

    def tell(self, title: str, words: str) -> None:
        self.told.append(words)

    def show_faults(self, name: str, faults: tuple[Fault, ...]) -> None:
        self.faults = faults


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Iterator[Window]:
    for left in left_overs(recovery_folder()):
        left.discard()
    application()
    window = open_window(None)
    copy = tmp_path / "car.toml"
    shutil.copy(first_sample(), copy)
    window.asker = window.filing.asker = Answers(window)
    assert window.filing.read(copy)
    window.resize(1600, 1000)
    with qtbot.waitExposed(window):
        window.show()
    QApplication.processEvents()
    yield window
    asker(window).on_unsaved = Answer.DISCARD
    window.close()
    window.deleteLater()


@pytest.fixture
def hand(window: Window) -> Hand:
    return Hand(window.board.views[View.FRONT])


def asker(window: Window) -> Answers:
    assert isinstance(window.asker, Answers)
    return window.asker


def moved(window: Window, key: str) -> tuple[float, float, float]:
    setup, active = window.session.setup, window.session.active
    assert active is not None
    return setup.changes[active].moves.get(key, (0.0, 0.0, 0.0))


def new_change(window: Window) -> None:
    window.session.set_active(None)


def test_a_drag_of_both_upper_pivots_makes_one_named_change_and_the_car_answers(
    window: Window, hand: Hand
) -> None:
    new_change(window)
    before = window.session.study.unsettled.rest.values["roll_centre_height"][0]
    window.session.select(UPPER)
    hand.press(UPPER[0])
    hand.move_mm(0.0, -12.0)
    assert window.session.history.undo_words == ""  # nothing is kept while the hand moves
    during = window.session.study.proposed.rest.values["roll_centre_height"][0]
    hand.let_go()
    change = window.session.setup.changes[window.session.active]
    assert moved(window, UPPER[0]) == moved(window, UPPER[1])
    assert moved(window, UPPER[0])[2] == pytest.approx(-12.0, abs=1.01)
    assert change.name.startswith("Upper pivots")
    assert change.name.endswith("lower")
    after = window.session.study.proposed.rest.values["roll_centre_height"][0]
    assert after == pytest.approx(during, abs=1e-9)
    assert window.session.study.unsettled.rest.values["roll_centre_height"][0] > before + 10.0
    assert "upper arm, front pivot" in window.actions_.undo.text()


def test_what_was_dropped_shows_no_note_until_the_pointer_comes_back(
    window: Window, hand: Hand
) -> None:
    hand.drag_mm("front.upper_front", 0.0, -22.0)
    hand.at = hand.place_of("front.upper_front")
    hand.move(0.0, 0.0)
    assert hand.view.attention.hovered == hand.view.dropped == "front.upper_front"
    hand.at = hand.at + QPointF(60.0, 60.0)
    hand.move(0.0, 0.0)
    hand.at = hand.place_of("front.upper_front")
    hand.move(0.0, 0.0)
    assert hand.view.attention.hovered == "front.upper_front"
    assert hand.view.dropped is None


def test_figures_of_what_cannot_be_as_proposed_are_greyed_and_said_so(
    window: Window, qtbot: QtBot
) -> None:
    session, results = window.session, window.results
    session.show(REAR)
    qtbot.waitUntil(lambda: window.sentences.is_begun)
    assert not results.is_stopped
    high = Change("Dampers up", moves=FrozenMap({"rear.damper_body": (0.0, 0.0, 200.0)}))
    session.commit(session.setup.having(changes=(*session.setup.changes, high)), "up")
    qtbot.waitUntil(lambda: results.is_stopped)
    assert results.problem.isVisible()
    assert "can't be made, or can't stand, as proposed" in results.problem.text()
    assert results.view.paper.greyed
    session.undo()
    qtbot.waitUntil(lambda: not results.is_stopped)
    assert not results.problem.isVisible()


def test_the_head_names_the_end_of_a_change_that_is_not_shown(window: Window) -> None:
    (name,) = (change.name for change in window.session.setup.changes if change.on)
    head = window.findChild(Head)
    assert isinstance(head, Head)
    assert head.proposal.text() == f"proposed: {name}"
    window.session.show(REAR)
    assert head.proposal.text() == f"proposed: {name} (front)"


def test_moves_snap_to_whole_millimetres_and_alt_suspends_that(window: Window, hand: Hand) -> None:
    new_change(window)
    hand.drag_mm(UPPER[0], 0.0, -17.3)
    snapped = moved(window, UPPER[0])[2]
    assert snapped == pytest.approx(round(snapped), abs=1e-9)
    window.session.undo()
    new_change(window)
    hand.press(UPPER[0])
    hand.move_mm(13.37, -17.41, ALT)
    hand.let_go()
    free = moved(window, UPPER[0])[2]
    assert abs(free - round(free)) > 1e-3


def test_shift_keeps_a_drag_to_one_direction(window: Window, hand: Hand) -> None:
    new_change(window)
    hand.press(UPPER[0])
    hand.move_mm(3.0, -12.0, SHIFT)
    hand.let_go()
    move = moved(window, UPPER[0])
    assert move[1] == 0.0
    assert move[2] < -10.0


def test_escape_takes_a_drag_back_and_leaves_no_step(
    window: Window, hand: Hand, qtbot: QtBot
) -> None:
    new_change(window)
    before = window.session.setup
    hand.press(UPPER[0])
    hand.move_mm(0.0, -15.0)
    assert window.session.setup != before
    qtbot.keyClick(hand.view, Qt.Key.Key_Escape)
    hand.let_go()
    assert window.session.setup == before
    assert window.session.history.undo_words == ""
    assert window.session.active is None


def test_undo_and_redo_bring_setup_and_study_back(window: Window, hand: Hand) -> None:
    before = window.session.setup
    new_change(window)
    hand.drag_mm("front.lower_rear", 0.0, 15.0)
    after = window.session.setup
    assert after != before
    window.actions_.undo.trigger()
    assert window.session.setup == before
    assert window.session.study.setup == window.session.shown_setup
    window.actions_.redo.trigger()
    assert window.session.setup == after
    assert window.session.study.setup == window.session.shown_setup


def test_an_impossible_drag_greys_the_board_names_the_points_and_goes_back(
    window: Window, hand: Hand
) -> None:
    new_change(window)
    before = window.session.setup
    hand.press("front.upper_front")
    hand.move_mm(-60.0, 300.0)
    hand.move_mm(-250.0, 900.0)
    assert isinstance(window.session.problem, LegsDontMeet)
    assert "mm" in window.session.problem_words
    assert window.session.study is not None  # the last one that worked stays
    hand.let_go()
    assert window.session.problem is None
    assert window.session.setup == before


def test_a_locked_point_stays_where_it_is(window: Window, hand: Hand) -> None:
    new_change(window)
    window.session.lock(UPPER[0], frozenset({0, 1, 2}))
    hand.drag_mm(UPPER[0], 0.0, -9.0)
    changes = window.session.setup.changes
    assert all(UPPER[0] not in change.moves for change in changes[3:])


def test_arrow_keys_nudge_and_a_run_of_them_is_one_step(
    window: Window, hand: Hand, qtbot: QtBot
) -> None:
    new_change(window)
    view = hand.view
    view.setFocus()
    while view.current != "front.lower_rear":
        qtbot.keyClick(view, Qt.Key.Key_BracketRight)
    for _ in range(3):
        qtbot.keyClick(view, Qt.Key.Key_Up)
    qtbot.keyClick(view, Qt.Key.Key_Down, SHIFT)
    assert moved(window, "front.lower_rear") == pytest.approx((0.0, 0.0, -7.0))
    window.session.undo()
    assert len(window.session.setup.changes) == len(window.session.history.steps[0].value.changes)


def test_dragging_the_wheel_travels_it_and_the_ground_rolls_the_car(
    window: Window, hand: Hand
) -> None:
    hand.press("wheel:left")
    hand.move_mm(0.0, 25.0)
    hand.let_go()
    assert window.session.pose.travel == pytest.approx(25.0, abs=1.5)
    window.pose_at_rest()
    hand.press("ground:")
    hand.move_mm(0.0, 12.0)
    hand.let_go()
    assert window.session.pose.roll != 0.0
    window.pose_at_rest()
    assert window.session.proposed is window.session.study.proposed.rest


def test_the_car_stands_where_its_springs_carry_it_until_it_is_held(window: Window) -> None:
    stands = window.session.study.stands
    assert stands > 5.0
    assert window.session.study.proposed.stand.travel == pytest.approx(stands)
    window.actions_.settle.trigger()
    assert window.session.setup.heights == {"front": "as measured"}
    assert window.session.study.proposed.stand.travel == 0.0
    window.actions_.settle.trigger()
    assert window.session.setup.heights == {}


def test_one_switch_shows_both_cars_from_one_place_in_the_body(window: Window) -> None:
    stands = window.session.study.stands
    window.actions_.in_body.trigger()
    assert window.session.proposed.values["wheel_travel"][0, 0] == pytest.approx(-stands)
    assert window.session.measured.values["wheel_travel"][0, 0] == 0.0
    window.actions_.in_body.trigger()
    assert window.session.proposed is window.session.study.proposed.rest


def test_inches_change_what_is_shown_but_not_the_file(window: Window) -> None:
    setup = window.session.setup
    window.actions_.units.trigger()
    assert window.session.units == "in"
    assert window.session.setup == setup
    assert window.session.is_saved


def test_saving_writes_the_change_and_keeps_the_remarks(window: Window, hand: Hand) -> None:
    path = window.session.path
    remarks = [line for line in path.read_text().splitlines() if line.startswith("#")]
    new_change(window)
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
    new_change(window)
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
    new_change(window)
    hand.drag_mm("front.tie_outer", 0.0, 15.0)
    asker(window).on_unsaved = Answer.CANCEL
    assert not window.close()
    assert window.isVisible()
    asker(window).on_unsaved = Answer.SAVE
    assert window.close()
    assert read_setup(window.session.path).setup.changes == window.session.setup.changes


def test_unsaved_work_is_kept_aside_unasked(window: Window, hand: Hand, qtbot: QtBot) -> None:
    new_change(window)
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


def test_a_title_fills_the_board_and_gives_it_back(window: Window, hand: Hand) -> None:
    view = hand.view
    QTest.mouseDClick(view, Qt.MouseButton.LeftButton, pos=view.title_rect().center().toPoint())
    assert window.board.is_filled()
    assert view.isVisible()
    assert not window.board.views[View.SIDE].isVisible()
    QTest.mouseDClick(view, Qt.MouseButton.LeftButton, pos=view.title_rect().center().toPoint())
    assert not window.board.is_filled()


@pytest.mark.parametrize("choice", typical_of(("light", "dark"), ("dark",)))
def test_every_part_takes_the_paper(
    window: Window, choice: str, qtbot: QtBot, request: pytest.FixtureRequest
) -> None:
    window.set_paper(choice)
    dark = window.grab().toImage().pixelColor(700, 500).lightness() < 128
    assert dark == (choice == "dark")


def test_another_car_is_fitted_and_nothing_said_of_the_last_one_stays(
    window: Window, hand: Hand
) -> None:
    view = window.board.views[View.FRONT]
    hand.drag_mm(UPPER[0], 0.0, -10.0)
    window.session.undo()
    view.pan(300.0, 0.0)
    assert window.statusBar().currentMessage().startswith("Undone")
    assert window.filing.open_path(first_sample().parent / "torsion_coupe.toml")
    assert view.is_fitted
    assert window.statusBar().currentMessage() == ""


def test_parts_of_the_left_column_fold_and_are_so_at_the_next_start(window: Window) -> None:
    for title, body in (
        (window.changes.fold, window.changes.view),
        (window.points.fold, window.points.table),
        (window.points.fold_values, window.points.values),
    ):
        QTest.mouseClick(title, Qt.MouseButton.LeftButton, pos=QPoint(20, 8))
        assert body.isHidden() or not body.isVisibleTo(window)
    assert window.changes.height() < 50
    later = open_window(None)
    assert later.changes.fold.is_folded
    assert later.points.is_folded
    later.deleteLater()
    QTest.mouseClick(window.changes.fold, Qt.MouseButton.LeftButton, pos=QPoint(20, 8))
    assert window.changes.view.isVisible()
    assert window.changes.height() > 200


def test_edges_that_were_dragged_stand_so_at_the_next_start(window: Window) -> None:
    left, board = window._left, window.board.arrangement
    left.moveSplitter(left.sizes()[0] + 60, 1)
    board._outer.moveSplitter(board._outer.sizes()[0] - 80, 1)
    sizes = left.sizes(), board._outer.sizes()
    asker(window).on_unsaved = Answer.DISCARD
    window.close()
    later = open_window(None)
    later.show()
    QApplication.processEvents()
    shown = later._left.sizes(), later.board.arrangement._outer.sizes()
    for now, was in zip(shown, sizes, strict=True):
        assert now[0] / sum(now) == pytest.approx(was[0] / sum(was), abs=0.02)
    later.close()
    later.deleteLater()


def test_a_first_window_fits_a_small_screen(window: Window) -> None:
    room = window.screen().availableSize()  # offscreen: 800 × 800
    first = open_window(None)
    assert first.width() <= max(room.width(), first.minimumWidth())
    assert first.height() <= max(room.height(), first.minimumHeight())
    first.deleteLater()


def test_the_hint_goes_for_good(window: Window) -> None:
    assert window.hint.isVisible()
    window.hint.dismiss()
    QSettings().remove("recent")  # beside a car of one's own there is no hint anyway
    assert not open_window(None).hint.isVisibleTo(window)
