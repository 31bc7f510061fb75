"""How well leaves are measured is typed in the guide, by real keys: of all alike, and of one."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.document.files import read_text, text_of
from app.document.leaf_parts import LeafPart, leaf_keys
from app.document.model import Setup
from app.entry.draft_session import DraftSession
from app.entry.draft_store import draft_from, text_of_draft
from app.entry.leaves_page import LeavesPage
from app.entry.steps import draft_of
from app.entry.typed import resolve
from app.entry.value_line import ValueLine
from app.systems.every import LIMIT_KINDS
from tests.helpers.entering import Opened, focused, press, sample

pytestmark = pytest.mark.gui

PACK = "rear.pack.leaf"


def said(setup: Setup) -> dict[str, object]:
    return {key.removeprefix(f"{PACK}."): setup.within[key] for key in leaf_keys(setup.within)}


def field(page: LeavesPage, row: int, part: str) -> ValueLine:
    name = f"{PACK}.{row}.{part}"
    return next(line for line in page.lines if line.name == name and isinstance(line, ValueLine))


def type_into(line: ValueLine, text: str) -> None:
    line.setFocus()
    line.selectAll()
    QTest.keyClick(line, Qt.Key.Key_Delete)
    QTest.keyClicks(line, text)
    press(Qt.Key.Key_Tab)


def test_every_leaf_alike_one_unlike_and_one_taken_out(opened: Opened) -> None:
    setup = sample("small_saloon")
    window = opened(setup.having(within={}))
    sitting = window.sitting
    sitting.go("rear leaves")
    page = window.page
    assert isinstance(page, LeavesPage)
    every = field(page, -1, "thickness.within")
    every.setFocus()
    assert every.accessibleName() == "Every leaf, thickness: measured within ±"
    press(Qt.Key.Key_Down)
    assert every.text() == "0.1"
    press(Qt.Key.Key_Tab)
    assert focused() is field(page, -1, "front.within")
    type_into(field(page, -1, "front.within"), "-1")
    assert "below 0" in page.says.text()
    type_into(field(page, -1, "front.within"), "1/16 in")
    thick = {f"{n}.thickness": 0.1 for n in range(1, 6)}
    halves = {f"{n}.front": 1.5875 for n in range(1, 6)}
    assert said(sitting.finished_setup) == pytest.approx({**thick, **halves})
    QTest.mouseClick(page.by_leaf, Qt.MouseButton.LeftButton)
    type_into(field(page, 2, "thickness.within"), "5 %")
    assert said(sitting.finished_setup)["3.thickness"] == pytest.approx(0.25)
    for part in ("thickness", "front", "rear"):  # leaf 2 is none: what was the third is the second
        type_into(field(page, 1, part), "")
    page.ticks[2].click()
    after = said(sitting.finished_setup)
    assert after["2.thickness"] == pytest.approx(0.25)
    assert after["3.thickness"] == 0.1
    assert "5.thickness" not in after
    kept, _ = draft_from(text_of_draft(sitting.draft, "rear leaves"))
    assert said(resolve(kept).setup) == after
    written = read_text(text_of(sitting.finished_setup), limit_kinds=LIMIT_KINDS).setup
    assert said(written) == pytest.approx(after)


def test_a_pack_that_is_known_unlike_opens_leaf_by_leaf(opened: Opened) -> None:
    within = {f"{PACK}.2.rear": 3.0, f"{PACK}.1.modulus": 4000.0}
    window = opened(sample("small_saloon").having(within=within))
    window.sitting.go("rear leaves")
    page = window.page
    assert isinstance(page, LeavesPage)
    assert field(page, 1, "rear.within").text() == "3"
    assert field(page, -1, "rear.within").text() == ""
    type_into(field(page, -1, "rear.within"), "1")
    after = said(window.sitting.finished_setup)
    assert after == {**{f"{n}.rear": 1.0 for n in (1, 3, 4, 5)}, "2.rear": 3.0}


def test_an_answer_about_a_leafs_uncertainty_is_about_that_uncertainty() -> None:
    key = LeafPart(1, "thickness").key
    setup = sample("small_saloon")
    sitting = DraftSession(draft_of(setup.having(within={key: 3.0})), "", ".", True)
    (question,) = sitting.open_questions(PACK)
    sitting.keep(question)
    assert not sitting.open_questions(PACK)
    sitting.type_text(f"{PACK}.1.thickness.within", "4")
    assert len(sitting.open_questions(PACK)) == 1
