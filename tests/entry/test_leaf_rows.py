"""The leaves of a pack as typed rows, and the guide that begins at the end that is shown."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from app.document.model import Leaf
from app.entry.draft_store import draft_from, text_of_draft
from app.entry.guide import correct_car
from app.entry.leaf_rows import leaf_text, leaves_of
from app.entry.steps import draft_of
from app.entry.typed_text import TypedText
from app.session.session import Session
from app.systems.rear.system import REAR
from tests.helpers.entering import Opened, sample
from tests.helpers.long_cases import typical_of

pytestmark = pytest.mark.gui

PACK = (Leaf(6.5, 560.0, 750.0), Leaf(6.0, 450.0, 620.0, clipped=True, modulus=2e5))


def typed(**texts: str) -> dict[str, TypedText]:
    return {f"rear.pack.leaf.{key.replace('_', '.')}": TypedText(t) for key, t in texts.items()}


def test_a_row_is_changed_added_and_taken_away() -> None:
    leaves, errors = leaves_of(PACK, typed(**{"1_thickness": "5,5"}), ",")
    assert not errors
    assert leaves == {0: PACK[0], 1: Leaf(5.5, 450.0, 620.0, clipped=True, modulus=2e5)}
    new = typed(**{"2_thickness": "5", "2_front": "300", "2_rear": "400", "2_taper": "yes"})
    leaves, _ = leaves_of(PACK, new, ".")
    assert leaves[2] == Leaf(5.0, 300.0, 400.0, taper="parabolic")
    gone = typed(**{f"1_{part}": "" for part in ("thickness", "front", "rear", "clipped")})
    assert leaves_of(PACK, gone, ".")[0] == {0: PACK[0]}


def test_a_leaf_that_is_not_whole_or_not_possible_is_said_at_its_field() -> None:
    _, errors = leaves_of(PACK, typed(**{"2_thickness": "5"}), ".")
    told = "Leaf 3: it needs its thickness and both halves."
    assert errors == {"rear.pack.leaf.2.whole": told}
    _, errors = leaves_of(PACK, typed(**{"2_thickness": "5", "2_front": ""}), ".")
    assert errors == {"rear.pack.leaf.2.whole": told}
    _, errors = leaves_of(PACK, typed(**{"0_thickness": "-3"}), ".")
    assert errors["rear.pack.leaf.0.thickness"].startswith("It must be")


def test_texts_of_a_leaf() -> None:
    assert leaf_text(PACK[0], "thickness", "in", ".").startswith("0.2559")
    assert leaf_text(PACK[1], "clipped", "mm", ".") == "yes"
    assert leaf_text(PACK[0], "contact", "mm", ".") == ""


def test_corrections_begin_at_the_end_that_is_shown(qtbot: QtBot, tmp_path: Path) -> None:
    session = Session(sample("small_saloon"))
    session.show(REAR)
    window = correct_car(None, session, "", tmp_path)
    qtbot.addWidget(window)
    assert window.sitting.step == "rear wheel"
    window.sitting.go("rear leaves")
    window.sitting.type_text("rear.pack.leaf.4.thickness", "5")
    window.finish()
    assert session.setup.readings["rear.pack.leaf"][4].thickness == 5.0
    assert session.history.undo_words == "correct measured leaves"
    session.undo()
    assert session.setup == sample("small_saloon")


def test_a_rear_half_way_survives_the_text_of_its_draft(opened: Opened) -> None:
    draft = draft_of(sample("torsion_coupe"))
    assert draft.converts
    draft = draft.typed("rear.pack.leaf.0.thickness", TypedText("7"))
    assert draft_from(text_of_draft(draft, "rear leaves")) == (draft, "rear leaves")


@pytest.mark.parametrize(
    "name", typical_of(("small_saloon", "torsion_coupe", "inch_sedan"), ("inch_sedan",))
)
def test_every_page_of_the_rear_fits_and_every_point_has_its_words(
    opened: Opened, name: str
) -> None:
    window = opened(sample(name))
    for step in window.sitting.steps:
        window.sitting.go(step.key)
        QApplication.processEvents()
        least = window.minimumSizeHint()
        assert least.width() <= 1280, step.key
        assert least.height() <= 720, step.key
        if step.sort == "point":
            assert window.page is not None
            bold = [w.text() for w in window.page.findChildren(QLabel, "axis")]
            assert any(len(text) > 20 for text in bold), step.key


def test_a_leaf_that_is_not_whole_is_said_on_the_last_page_and_leads_back(opened: Opened) -> None:
    window = opened(sample("small_saloon"))
    window.sitting.go("rear leaves")
    window.sitting.type_text("rear.pack.leaf.5.thickness", "4")
    window.sitting.go("last")
    assert not window.sitting.is_whole()
    said = [label.text() for label in window.page.findChildren(QLabel)]
    assert "Leaves: Leaf 6: it needs its thickness and both halves." in said
    window.finish()
    assert window.isVisible()
