"""One name for a point in every room: board, reader, lists, notes, guide, search, sheet, export."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

pytest.importorskip("PySide6")

from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.board.hover import hover_note
from app.desk.one_sided import one_sided_words
from app.desk.point_editor import PointEditor
from app.desk.search import places_of
from app.desk.window import Window
from app.document.address import left_of
from app.document.edits import switch_change
from app.document.model import Change, FrozenMap, Setup
from app.document.point_names import point_title, point_words
from app.drawing.strokes import Handle
from app.entry.draft_session import DraftSession
from app.entry.needs_rows import in_words
from app.entry.steps import draft_of
from app.export.tables import points_table
from app.session.session import Session
from app.shop.jobs import jobs
from app.shop.points import point_rows
from app.systems.every import given_systems
from app.systems.result_handles import results_held
from app.words.changes import suggested_name
from tests.helpers.long_cases import typical_of
from tests.helpers.sheets import SAMPLES, sample

pytestmark = pytest.mark.gui

ON_LINKS = "Rear axle on links"
CARS = (*SAMPLES, ON_LINKS)
BUSHES = ("front.lower_front", "front.lower_rear")


def car(name: str) -> Setup:
    """Return a sample, or the coupe with its rear on links."""
    if name != ON_LINKS:
        return sample(name)
    setup = sample("torsion_coupe")
    place = [change.name for change in setup.changes].index(ON_LINKS)
    return switch_change(setup, place, True)


def window_on(qtbot: QtBot, setup: Setup) -> Window:
    window = Window(Session(setup))
    window.filing.may_leave = lambda: True  # type: ignore[method-assign]
    qtbot.addWidget(window)
    window.show()
    QApplication.processEvents()
    return window


def names_in_the_window(window: Window) -> Iterator[tuple[str, str, str]]:
    """Yield room, key and name of each point that is named, at the end that is shown."""
    session = window.session
    for view in window.board.views.values():
        spoken = QAccessible.queryAccessibleInterface(view)
        for index, item in enumerate(view.aim.items):
            if isinstance(item, Handle) and not results_held(item.key):
                yield "board", item.key, item.name
                words = spoken.child(index).text(QAccessible.Text.Name)
                yield "reader", item.key, words.removesuffix(f", {item.value}")
    for row, key in enumerate(window.points.table.points.keys):
        yield "points", key, window.points.table.points.title(row)
        note = hover_note(session, key)
        yield "note", key, note.splitlines()[0]
        yield "editor", key, PointEditor(session, key, window).windowTitle()
    study = session.study
    assert study is not None
    for row in point_rows(study):
        yield "sheet", row.key, row.title


@pytest.mark.parametrize("name", typical_of(CARS, ("inch_sedan", "hillclimb_special")))
def test_every_room_has_the_same_name_for_a_point(qtbot: QtBot, name: str) -> None:
    setup = car(name)
    window = window_on(qtbot, setup)
    for system in window.session.systems():
        window.session.show(system)
        QApplication.processEvents()
        rooms: dict[str, set[str]] = {}
        for room, key, told in names_in_the_window(window):
            title = point_title(key, setup.evidence)
            assert told in (title, title.removesuffix(", right")), (room, key)
            assert told == title or room == "sheet"  # where a column says which side
            rooms.setdefault(room, set()).add(key)
        assert rooms["points"] <= rooms["sheet"]
        assert rooms["board"] == rooms["reader"]
        assert len(rooms["board"]) >= 9
        exported = {row[0] for row in points_table(window.session.study)}  # type: ignore[arg-type]
        told = {point_title(left_of(key), setup.evidence) for key in rooms["sheet"]}
        assert told <= exported
        found = {each.words for each in places_of(window) if each.kind == f"point, {system.key}"}
        assert found == {point_title(key, setup.evidence) for key in rooms["points"]}


@pytest.mark.parametrize("name", SAMPLES)
def test_the_guide_asks_for_points_by_these_names(qapp: QApplication, name: str) -> None:
    setup = sample(name)
    steps = DraftSession(draft_of(setup), "car", ".", True).steps
    points = [step for step in steps if step.sort == "point"]
    assert len(points) >= 10
    for step in points:
        assert step.title == point_title(step.key, setup.evidence).removesuffix(", right")
        assert in_words((step.key,), setup.evidence).startswith(
            point_words(step.key, setup.evidence).split(",")[0]
        )


def test_words_on_work_call_a_rod_and_a_link_what_they_are() -> None:
    setup = sample("small_saloon").having(changes=())
    moves = FrozenMap(dict.fromkeys(BUSHES, (0.0, 0.0, -5.0)))
    change = Change("both", moves=moves)
    assert suggested_name(setup, change) == "Strut rod and lateral link, body bushes 5 mm lower"
    changed = setup.having(changes=(change,))
    (job, *_) = jobs([system.study(changed) for system in given_systems(changed)])
    assert "the strut rod's and the lateral link's body bushes 5.0 mm lower" in job.title
    assert "lower arm" not in job.title
    arm = sample("inch_sedan").having(changes=())
    assert suggested_name(arm, change).startswith("Lower pivots")


def test_what_is_spoken_of_a_step_has_the_name_too(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    heard: list[str] = []
    monkeypatch.setattr("app.desk.speaking.announce", lambda _widget, words: heard.append(words))
    window = window_on(qtbot, sample("small_saloon").having(changes=()))
    session = window.session
    session.select(("front.lower_front",))
    moved = Change("rod", moves=FrozenMap({"front.lower_front": (0.0, 0.0, -5.0)}))
    session.commit(session.setup.having(changes=(moved,)), "move")
    qtbot.waitUntil(lambda: any("Strut rod, body bush:" in words for words in heard))
    both = FrozenMap({"front.lower_front": (0.0, 0.0, -5.0), "front.right.lower_front": (1, 0, 0)})
    before = session.setup.having(changes=(Change("rod", moves=both),))
    further = FrozenMap({**both, "front.lower_front": (0.0, 0.0, -6.0)})
    after = before.having(changes=(Change("rod", moves=further),))
    assert one_sided_words(before, after).startswith("Strut rod, body bush: moved on the left only")
