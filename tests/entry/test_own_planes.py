"""A plane of one's own is kept in the car: offered again, and what counts from it follows it."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.document.files import read_text, text_of
from app.document.levelling import Levelled, with_levelled
from app.document.model import Plane, Setup
from app.document.rewriting import rewritten
from app.document.same import same_setup
from app.entry.axis_row import OWN_PLANE
from app.entry.draft_session import DraftSession
from app.entry.point_page import PointPage
from app.entry.steps import draft_of
from app.entry.typed_text import Base
from app.systems.every import LIMIT_KINDS
from tests.helpers.entering import Opened, press, sample

pytestmark = pytest.mark.gui

UPPER, OTHER = "front.upper_front", "front.upper_rear"


def written(setup: Setup) -> Setup:
    return read_text(text_of(setup), limit_kinds=LIMIT_KINDS).setup


def with_plane(**fields: object) -> Setup:
    setup = sample("small_saloon")
    return setup.having(planes=(Plane("chassis leg", "z", 310.0, (UPPER, OTHER)),), **fields)


def test_it_is_typed_kept_in_the_file_and_offered_at_the_next_point(opened: Opened) -> None:
    setup = sample("small_saloon")
    window = opened(setup)
    window.sitting.go(UPPER)
    page = window.page
    assert isinstance(page, PointPage)
    row = page.axes[2]
    row.base.setCurrentIndex(row.keys.index(OWN_PLANE))
    row.base.activated.emit(row.keys.index(OWN_PLANE))
    QTest.keyClicks(row.offset, "310")
    QTest.keyClicks(row.plane, "chassis leg")
    row.line.setFocus()
    row.line.selectAll()
    QTest.keyClicks(row.line, "250")
    press(Qt.Key.Key_Tab)
    after = window.sitting.finished_setup
    assert after.planes == (Plane("chassis leg", "z", 310.0, (UPPER,)),)
    assert after.readings[UPPER][2] == 560.0  # type: ignore[index]
    text = text_of(setup)
    told = rewritten(text, setup, after)
    assert "[[plane]]" in told
    again = read_text(told, limit_kinds=LIMIT_KINDS).setup
    assert again.planes == after.planes
    assert "[[plane]]" not in rewritten(told, again, again.having(planes=()))
    later = opened(again)
    later.sitting.go(OTHER)
    assert isinstance(later.page, PointPage)
    assert "chassis leg" in [later.page.axes[2].base.itemText(n) for n in range(40)]


@pytest.mark.parametrize("units", ["mm", "in"])
def test_what_counts_from_it_follows_when_it_is_measured_again(units: str) -> None:
    setup = with_plane(units=units)
    sitting = DraftSession(draft_of(setup), UPPER, ".", True)
    assert sitting.finished_setup == setup  # nothing typed, nothing changed, no note
    base = sitting.base(f"{UPPER}.z")
    assert (base.plane, base.is_plane) == ("chassis leg", True)
    offset = "312" if units == "mm" else "312 mm"
    sitting.set_base(f"{UPPER}.z", Base(plane="chassis leg", offset=offset, is_plane=True))
    after = sitting.finished_setup
    for key in (UPPER, OTHER):
        was, now = setup.readings[key], after.readings[key]
        assert now[2] == pytest.approx(was[2] + 2.0)  # type: ignore[index]
    assert after.planes[0].at == pytest.approx(312.0)
    assert same_setup(written(after), after)
    assert after.point_notes[UPPER].count("chassis leg") == 1


def test_a_plane_goes_with_what_it_is_no_plane_of_any_more() -> None:
    setup = with_plane()
    place = setup.readings[UPPER]
    levelled = Levelled({UPPER: place}, {}, (0.01, 0.0), UPPER, 1.0)  # type: ignore[dict-item]
    assert with_levelled(setup, levelled).planes == ()
    evidence = {key: value for key, value in setup.readings.items() if key != OTHER}
    assert setup.having(evidence=evidence).planes[0].points == (UPPER,)
