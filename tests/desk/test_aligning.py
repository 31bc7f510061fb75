"""Align in the window: typed by keys, answered beside it, kept or taken as one step."""

from __future__ import annotations

from dataclasses import replace
from math import degrees

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QDialogButtonBox,
    QLineEdit,
    QMenu,
    QScrollArea,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.desk.aligning import DROP, MEND, WORKING, AlignDialog
from app.document.model import Setup, Units
from app.document.plans import Adjuster, Aim
from app.judge.align import aligned
from app.judge.align_worker import AlignReply
from app.judge.aligning_work import done_now, taken
from app.judge.alignment import Alignment
from app.session.aligner import Aligner
from app.session.session import Session
from app.systems.front.system import FRONT
from tests.helpers.aligning import ROD, car_to_align
from tests.helpers.entering import sample

pytestmark = pytest.mark.gui

KINDS = QDialogButtonBox.StandardButton


class Asked(Aligner):
    """Stands for the process beside the window: keeps what was asked, answers when told to."""

    def __init__(self) -> None:
        super().__init__()
        self.setups: list[Setup] = []

    def ask(self, setup: Setup, units: Units, decimal: str) -> None:
        self.setups.append(setup)


@pytest.fixture(scope="module", name="told")
def _told() -> Alignment:
    return aligned(car_to_align())


def opened(qtbot: QtBot, setup: Setup, units: Units = "mm") -> tuple[AlignDialog, Asked]:
    session, asked = Session(setup), Asked()
    session.set_units(units)
    dialog = AlignDialog(session, aligner=asked)
    qtbot.addWidget(dialog)
    dialog.resize(1200, 680)
    with qtbot.waitActive(dialog):
        dialog.show()
    return dialog, asked


def type_in(line: QLineEdit, text: str) -> None:
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, text)


def press(dialog: AlignDialog, button: QWidget) -> None:
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def keep(dialog: AlignDialog) -> None:
    press(dialog, dialog.buttons.button(KINDS.Ok))


def test_a_car_without_adjusters_says_what_to_fill_in(qtbot: QtBot) -> None:
    dialog, asked = opened(qtbot, sample("small_saloon"))
    says = dialog.answer.says.text()
    for words in ("Add what can be adjusted", "shall read", "what the gauge reads"):
        assert words in says
    assert not dialog.take.isEnabled()
    assert not asked.setups


@pytest.mark.qt_log_ignore("This plugin does not support", extend=True)  # a menu without a screen
def test_an_adjuster_is_added_and_typed_by_keys(qtbot: QtBot) -> None:
    dialog, asked = opened(qtbot, sample("small_saloon"))
    QTest.keyClick(dialog.fields.boxes.add, Qt.Key.Key_Space)
    menu = dialog.fields.boxes.findChild(QMenu)
    assert "Shim packs: upper arm, both pivots" in [each.text() for each in menu.actions()]
    QTest.keyClick(menu, Qt.Key.Key_Down)
    QTest.keyClick(menu, Qt.Key.Key_Return)
    (box,) = dialog.fields.boxes.boxes
    qtbot.waitUntil(lambda: QApplication.focusWidget() is box.lines["fitted"])
    qtbot.waitUntil(lambda: not box.lines["most"].visibleRegion().isEmpty())
    QTest.keyClicks(box.lines["fitted"], "3, 2.5")
    type_in(box.lines["sizes"], "0.5 1 2")
    for field, text in (("camber.is", "0"), ("camber.within", "0.25")):
        type_in(dialog.fields.lines[f"targets.{field}"], text)
    dialog.work_out()
    assert dialog.answer.says.text() == WORKING
    (setup,) = asked.setups
    pivots = ("front.upper_front", "front.upper_rear")
    assert setup.adjusters == {
        "front.upper_shims": Adjuster(pivots, True, (3.0, 2.5), (), (0.5, 1.0, 2.0))
    }
    keep(dialog)
    assert dialog.session.history.value == setup
    dialog.session.undo()
    assert dialog.session.history.value == sample("small_saloon")


def test_readings_in_inches_are_answered_and_taken_as_one_step(
    qtbot: QtBot, told: Alignment
) -> None:
    before = car_to_align()
    dialog, asked = opened(qtbot, before)
    asked.answered.emit(AlignReply(0, told))
    assert dialog.answer.work.text().count("→") == 4
    assert "Both wheels meet" in dialog.answer.met.text()
    press(dialog, dialog.take)
    session = dialog.session
    assert [change.name for change in session.setup.changes if change.aligns] == ["Alignment"]
    camber = FRONT.study(session.setup).proposed.rest.values["camber"][:, 0]
    start = FRONT.study(before).proposed.rest.values["camber"][:, 0]
    for place, wheel in enumerate(told.wheels.values()):
        step = degrees(wheel.reached["camber"] - wheel.read["camber"])
        assert degrees(camber[place] - start[place]) == pytest.approx(step, abs=0.01)
    session.undo()
    assert session.history.value == before


def test_what_is_wrong_stands_under_its_field_and_keeps_it_open(qtbot: QtBot) -> None:
    dialog, asked = opened(qtbot, car_to_align())
    line, count = dialog.fields.lines["gauge.right.camber"], len(asked.setups)
    type_in(line, "x")
    dialog.work_out()
    fault = dialog.fields.faults["gauge.right.camber"]
    assert fault.isVisible()
    assert "is no number" in fault.text()
    assert dialog.answer.says.text() == MEND
    dialog.fields.boxes.add.setFocus()
    keep(dialog)
    assert dialog.isVisible()
    assert QApplication.focusWidget() is line
    type_in(line, "0.4")
    dialog.work_out()
    assert not fault.isVisible()
    assert len(asked.setups) == count + 1
    right = asked.setups[-1].gauge["front.right"]
    assert degrees(right.camber or 0.0) == pytest.approx(0.4)


def test_a_refusal_is_shown_in_the_place_of_an_answer(qtbot: QtBot, told: Alignment) -> None:
    dialog, asked = opened(qtbot, car_to_align())
    asked.answered.emit(AlignReply(0, told))
    asked.answered.emit(AlignReply(0, None, "It can't be had."))
    assert dialog.answer.says.text() == "It can't be had."
    assert not dialog.answer.work.isVisible()
    assert not dialog.take.isEnabled()


def test_an_answer_to_what_was_typed_before_isnt_taken(qtbot: QtBot, told: Alignment) -> None:
    dialog, asked = opened(qtbot, car_to_align())
    asked.answered.emit(AlignReply(0, told))
    assert dialog.take.isEnabled()
    type_in(dialog.fields.lines["gauge.left.camber"], "0.9")
    assert not dialog.take.isEnabled()


def test_cancel_drops_what_was_typed_only_at_the_second_time(qtbot: QtBot) -> None:
    dialog, _ = opened(qtbot, car_to_align())
    type_in(dialog.fields.lines["gauge.left.camber"], "0.9")
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert dialog.isVisible()
    assert dialog.warning.text() == DROP
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()
    assert dialog.session.history.value == car_to_align()


def test_locks_and_a_total_toe_have_fields_of_their_own(qtbot: QtBot) -> None:
    dialog, asked = opened(qtbot, car_to_align(gauge={}), "in")
    fields = dialog.fields
    fields.caster_kind.setFocus()
    QTest.keyClick(fields.caster_kind, Qt.Key.Key_Down)
    fields.gauge_toe.setCurrentIndex(fields.gauge_toe.findData("toe_total_mm"))
    assert not fields.lines["gauge.left.caster"].isVisible()
    assert not fields.lines["gauge.right.toe"].isVisible()
    for name, text in (("lock_1", "20"), ("camber_1", "1"), ("lock_2", "-20"), ("camber_2", "-1")):
        type_in(fields.lines[f"gauge.left.{name}"], text)
    type_in(fields.lines["gauge.left.toe"], "1/8")
    dialog.work_out()
    gauge = asked.setups[-1].gauge
    assert gauge["front.left"].locks is not None
    assert gauge["front.right"].toe_length == pytest.approx(25.4 / 16)
    assert gauge["front.right"].locks is None


def test_every_field_that_the_keyboard_reaches_has_a_name(qtbot: QtBot) -> None:
    dialog, _ = opened(qtbot, car_to_align())
    for widget in dialog.findChildren(QWidget):
        reached = widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isVisible()
        if reached and not isinstance(widget, QAbstractButton):
            assert widget.accessibleName(), widget
    names = [line.accessibleName() for line in dialog.findChildren(QLineEdit)]
    assert len(names) == len(set(names))


def test_unmet_targets_are_marked_and_said(qtbot: QtBot, told: Alignment) -> None:
    dialog, asked = opened(qtbot, car_to_align())
    left = replace(
        told.wheels["left"],
        remaining={**told.wheels["left"].remaining, "camber": 0.02},
        met=False,
    )
    asked.answered.emit(AlignReply(0, replace(told, wheels={**told.wheels, "left": left})))
    assert "The left wheel doesn't meet" in dialog.answer.met.text()
    assert dialog.answer.reads.text().count("!") == 1


@pytest.mark.slow
@pytest.mark.bands
def test_a_process_beside_the_window_answers(qtbot: QtBot) -> None:
    setup = car_to_align(
        adjusters={"front.tie_rod": ROD}, aims={"front.toe": Aim(0.002, 0.001, "angle")}
    )
    dialog = AlignDialog(Session(setup))
    qtbot.addWidget(dialog)
    qtbot.waitUntil(lambda: dialog.alignment is not None, timeout=60_000)
    assert dialog.alignment == aligned(setup)
    assert dialog.take.isEnabled()


def test_gauged_again_it_counts_from_the_alignment_that_is_done(
    qtbot: QtBot, told: Alignment
) -> None:
    """The list above the readings says when they were read; what is typed then is kept with it."""
    after = taken(told, told.setup)
    dialog, asked = opened(qtbot, after)
    when = dialog.fields.when
    assert [when.itemText(n) for n in range(when.count())] == [
        "Read before the alignment is done",
        "Read again with the alignment done",
    ]
    when.setFocus()
    QTest.keyClick(when, Qt.Key.Key_Down)
    type_in(dialog.fields.lines["gauge.left.camber"], "0.4")
    dialog.work_out()
    left = asked.setups[-1].gauge["front.left"]
    assert degrees(left.camber or 0.0) == pytest.approx(0.4)
    assert left.after == done_now(after)["left"] != ()
    keep(dialog)
    assert dialog.session.setup.gauge["front.left"] == left
    again, _ = opened(qtbot, dialog.session.setup)
    assert again.fields.when.currentText() == "Read again with the alignment done"
    keep(again)
    assert again.session.setup == dialog.session.setup


def test_a_car_without_an_alignment_isnt_asked_when_it_was_read(qtbot: QtBot) -> None:
    dialog, _ = opened(qtbot, car_to_align())
    assert dialog.fields.when.isHidden()


@pytest.mark.parametrize("width", [760, 1240])
def test_nothing_scrolls_sideways(qtbot: QtBot, told: Alignment, width: int) -> None:
    dialog, _ = opened(qtbot, told.setup)
    dialog.resize(width, 680)
    dialog._show(AlignReply(1, told))
    QApplication.processEvents()
    assert dialog.width() == width
    tables = (dialog.answer.work, dialog.answer.reads, dialog.answer.effects)
    assert all(table.horizontalScrollBar().maximum() == 0 for table in tables)
    for area in dialog.findChildren(QScrollArea):
        assert area.widget().width() <= area.viewport().width()
