"""Adjusters worked on the board: signs, notes under the pointer, shims and turns by the menu."""

from __future__ import annotations

import re
from math import degrees, pi

import pytest
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget
from pytestqt.qtbot import QtBot

from app.board.hover import hover_note
from app.desk.point_menu import point_menu
from app.document.model import Setup
from app.drawing.strokes import Mark, MarkShape
from app.drawing.views import View
from app.session.session import Session
from app.systems.front.drawing.drawing import front_drawings
from app.systems.front.system import FRONT
from app.systems.shown import Shown
from tests.helpers.aligning import ALL, ROD, SIMPLE, UPPER, car_to_align

pytestmark = pytest.mark.gui


def angle(session: Session, name: str) -> list[float]:
    assert session.study is not None
    values = session.study.proposed.rest.values[name][:, 0]
    return [degrees(each) for each in values]


def own_menu(session: Session, key: str, owner: QWidget, title: str) -> list[QAction]:
    """Return what a point's menu offers under a title."""
    menu = point_menu(session, key, owner, lambda _: None)
    (own,) = (a.menu() for a in menu.actions() if a.menu() and a.text().startswith(title))
    assert isinstance(own, QMenu)
    return own.actions()


def choose(session: Session, key: str, owner: QWidget, title: str, words: str) -> None:
    (action,) = (a for a in own_menu(session, key, owner, title) if a.text().startswith(words))
    assert action.isEnabled()
    action.trigger()


@pytest.fixture(name="owner")
def _owner(qtbot: QtBot) -> QWidget:
    owner = QWidget()
    qtbot.addWidget(owner)
    return owner


def marks(setup: Setup, view: View) -> dict[MarkShape, list[tuple[float, float]]]:
    study = FRONT.study(setup)
    drawing = front_drawings(Shown(study, study.proposed.rest))[view]
    kinds = (MarkShape.SHIMS, MarkShape.ECCENTRIC, MarkShape.THREAD)
    found: dict[MarkShape, list[tuple[float, float]]] = {kind: [] for kind in kinds}
    for stroke in drawing.strokes:
        if isinstance(stroke, Mark) and stroke.shape in kinds:
            found[stroke.shape].append(stroke.at)
    return found


def test_signs_stand_at_what_can_be_adjusted() -> None:
    setup = car_to_align(adjusters=ALL, changes=())
    top = marks(setup, View.TOP)
    assert {kind: len(places) for kind, places in top.items()} == {
        MarkShape.SHIMS: 4,
        MarkShape.ECCENTRIC: 2,
        MarkShape.THREAD: 4,
    }
    pivots = [View.TOP.place(setup.evidence[key]) for key in UPPER]  # type: ignore[arg-type]
    for pivot in pivots:
        assert min(abs(pivot[0] - at[0]) + abs(pivot[1] - at[1]) for at in top[MarkShape.SHIMS]) < 2
    assert len(marks(setup, View.SIDE)[MarkShape.SHIMS]) == 2  # of the near side
    assert not any(marks(setup.having(adjusters={}), View.TOP).values())


def test_a_shim_goes_in_on_both_wheels_and_does_what_the_note_says(owner: QWidget) -> None:
    session = Session(car_to_align())
    before = angle(session, "camber"), angle(session, "caster")
    note = hover_note(session, UPPER[0])
    told = re.search(r"shims here, 3\.0 mm: 0\.5 mm more makes camber (\S+)°, caster (\S+)°", note)
    assert told is not None
    choose(session, UPPER[0], owner, "Shims", "One shim more (0.5 mm), both wheels")
    after = angle(session, "camber"), angle(session, "caster")
    for was, now, text in zip(before, after, told.groups(), strict=True):
        step = float(text.replace("−", "-"))
        for side in range(2):
            assert now[side] - was[side] == pytest.approx(step, abs=0.011)
    assert "shims here, 3.5 mm" in hover_note(session, UPPER[0])
    assert "One shim more" in session.history.undo_words.capitalize()
    session.undo()
    assert session.history.value == car_to_align()


def test_steps_gather_in_one_change_and_go_back_to_none(owner: QWidget) -> None:
    session = Session(car_to_align())
    for words in ("One shim more", "One shim less"):
        choose(session, UPPER[1], owner, "Shims", f"{words} (0.5 mm), left wheel alone")
        if words == "One shim more":
            choose(session, UPPER[0], owner, "Shims", f"{words} (0.5 mm), both wheels")
            assert sum(change.aligns for change in session.setup.changes) == 1
    choose(session, UPPER[0], owner, "Shims", "One shim less (0.5 mm), both wheels")
    assert session.setup == car_to_align()


def test_what_is_at_its_limit_is_not_offered_and_says_why(owner: QWidget) -> None:
    session = Session(car_to_align())
    session.set_units("in")
    for _ in range(6):
        choose(session, UPPER[0], owner, "Shims", "One shim less (0.020 in), left wheel alone")
    (less,) = (
        action
        for action in own_menu(session, UPPER[0], owner, "Shims, left 0 in")
        if action.text().startswith("One shim less") and "left wheel alone" in action.text()
    )
    assert not less.isEnabled()
    assert "no shim is left" in less.text()


def test_half_a_turn_of_a_tie_rod_moves_its_own_toe(owner: QWidget) -> None:
    """A rod behind the axle: longer toes in, by about its length over the arm's."""
    session = Session(car_to_align(adjusters={"front.tie_rod": ROD}, changes=()))
    before = angle(session, "toe")
    choose(session, "front.tie_outer", owner, "Tie rod", "Half a turn longer, left wheel alone")
    after = angle(session, "toe")
    assert after[1] == pytest.approx(before[1], abs=1e-6)
    arm = 134.0  # mm that the outer end stands behind the steering axis, from above
    assert after[0] - before[0] == pytest.approx(0.75 / arm * 180.0 / pi, rel=0.08)
    choose(session, "front.tie_inner", owner, "Tie rod", "Half a turn shorter, left wheel alone")
    assert angle(session, "toe")[0] == pytest.approx(before[0], abs=0.002)


def test_a_strut_rod_and_an_eccentric_are_turned_from_their_points(owner: QWidget) -> None:
    session = Session(car_to_align(adjusters=ALL))
    caster = angle(session, "caster")
    choose(session, "front.strut_joint", owner, "Strut rod", "Half a turn longer, both wheels")
    assert angle(session, "caster")[0] < caster[0] - 0.1
    choose(session, "front.lower_rear", owner, "Eccentric", "1.0 mm inboard, both wheels")
    changes = [change for change in session.setup.changes if change.aligns]
    assert [change.parts for change in changes] == ["made to fit", "kept"]


def test_a_point_without_an_adjuster_offers_none(owner: QWidget) -> None:
    session = Session(car_to_align(adjusters=SIMPLE))
    menu = point_menu(session, "front.lower_rear", owner, lambda _: None)
    submenus = [each.text() for each in menu.actions() if each.menu() is not None]
    assert submenus == ["Room to move"]
    assert "shims" not in hover_note(session, "front.lower_rear")
