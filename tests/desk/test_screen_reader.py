"""What a screen reader finds in the window: names, roles and values wherever the keyboard goes."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians

import pytest

pytest.importorskip("PySide6")

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleInterface
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QTableView, QWidget
from pytestqt.qtbot import QtBot

from app.desk.window import Window
from app.document.files import read_setup
from app.document.model import Setup
from app.entry.guide import MeasureWindow
from app.panels.lists.values_table import ValuesView
from app.panels.text_table import TextTable
from app.session.session import Session
from app.systems.answers import Pose
from app.systems.every import LIMIT_KINDS
from tests.helpers.long_cases import typical
from tests.helpers.project import SAMPLE_FOLDER

pytestmark = pytest.mark.gui

Role = QAccessible.Role
PLAIN = {Role.Client, Role.NoRole, Role.Pane}  # of which a reader says nothing but a name
CARS = sorted(SAMPLE_FOLDER.glob("*.toml"))


def car(path: object) -> Setup:
    """Return a sample."""
    return read_setup(path, limit_kinds=LIMIT_KINDS).setup  # type: ignore[arg-type]


def window_on(qtbot: QtBot, setup: Setup) -> Window:
    """Return a shown window, its curves and sentences built."""
    window = Window(Session(setup))
    window.filing.may_leave = lambda: True  # type: ignore[method-assign]
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    qtbot.waitUntil(lambda: window.curves.sheet is not None)
    return window


def found(widget: QWidget) -> QAccessibleInterface:
    """Return what a reader finds of a widget."""
    face = QAccessible.queryAccessibleInterface(widget)
    assert face is not None
    return face


def shown_below(face: QAccessibleInterface) -> Iterator[QAccessibleInterface]:
    """Yield a thing and all that is shown in it."""
    yield face
    for place in range(face.childCount()):
        child = face.child(place)
        if child is not None and child.isValid() and not child.state().invisible:
            yield from shown_below(child)


def is_stop(face: QAccessibleInterface) -> bool:
    """Tell whether the keyboard gets there; words that the mouse may mark are no stop."""
    thing = face.object()
    by_keys = not isinstance(thing, QWidget) or thing.focusPolicy() & Qt.FocusPolicy.TabFocus
    return bool(face.state().focusable and by_keys)


def faults(widget: QWidget) -> list[str]:
    """Return what the keyboard reaches that has no name, or no role."""
    stops = (face for face in shown_below(found(widget)) if is_stop(face))
    return [
        f"{face.role().name} “{face.text(QAccessible.Text.Name)}” at {face.rect()}"
        for face in stops
        if face.role() in PLAIN or not face.text(QAccessible.Text.Name)
    ]


@pytest.mark.slow
@pytest.mark.parametrize(
    "path",
    typical(CARS, lambda path: path.stem in ("inch_sedan", "hillclimb_special")),
    ids=lambda path: path.stem,
)
def test_all_that_the_keyboard_reaches_has_a_name_and_a_role(qtbot: QtBot, path: object) -> None:
    window = window_on(qtbot, car(path))
    for system in window.session.systems():
        window.session.show(system)
        pages = [window.bench.tabs.tabText(tab) for tab in range(window.bench.tabs.count())]
        for page in pages or [""]:
            if page:
                window.bench.show_tab(page)
            qtbot.wait(1)
            assert not faults(window), (system.title, page)


def test_the_guide_is_a_window_whose_fields_have_names(qtbot: QtBot) -> None:
    guide = MeasureWindow(car(CARS[0]), correcting=True, at="front.upper_rear")
    qtbot.addWidget(guide)
    with qtbot.waitExposed(guide):
        guide.show()
    assert found(guide).role() == Role.Window
    assert guide.windowTitle() == "Correct the measurements"
    assert not faults(guide)


@pytest.mark.parametrize(("units", "told"), [("mm", 40.0), ("in", 40.0 / 25.4)])
def test_a_slider_tells_its_figure_in_the_unit_shown(qtbot: QtBot, units: str, told: float) -> None:
    window = window_on(qtbot, car(CARS[-2]))
    window.session.set_units(units)  # type: ignore[arg-type]
    window.session.set_pose(Pose(travel=40.0, roll=radians(2.0)))
    travel, roll = (window.strip.drivers[name].slider for name in ("travel", "roll"))
    value = found(travel).valueInterface()
    assert value.currentValue() == pytest.approx(told)
    low, high = window.session.study.ranges.travel[:2]  # type: ignore[union-attr]
    per_unit = told / 40.0
    assert value.minimumValue() == pytest.approx(low * per_unit)
    assert value.maximumValue() == pytest.approx(high * per_unit)
    assert found(roll).valueInterface().currentValue() == pytest.approx(2.0)
    QTest.keyClick(travel, Qt.Key.Key_Right)
    assert found(travel).valueInterface().currentValue() == pytest.approx(told + 0.5 * per_unit)
    value.setCurrentValue(0.0)
    assert window.session.pose.travel == 0.0
    for kind in ("actionInterface", "textInterface", "selectionInterface", "tableCellInterface"):
        getattr(found(travel), kind)()  # Qt ends the process where it is answered None


@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_point_has_its_coordinates_as_numbers(qtbot: QtBot, units: str) -> None:
    setup = car(SAMPLE_FOLDER / "small_saloon.toml")
    window = window_on(qtbot, setup.having(changes=()))
    window.session.set_units(units)  # type: ignore[arg-type]
    view = next(iter(window.board.views.values()))
    keys, face = view.aim.keys(), found(view)
    point = face.child(keys.index("front.upper_front"))
    numbers = [point.child(axis) for axis in range(point.childCount())]
    assert [each.text(QAccessible.Text.Name) for each in numbers] == [
        f"{axis}, {units}" for axis in ("x ahead", "y left", "z up")
    ]
    size = 1.0 if units == "mm" else 25.4
    told = [each.valueInterface().currentValue() * size for each in numbers]
    assert told == pytest.approx(setup.readings["front.upper_front"])
    for each in numbers:
        assert each.role() == Role.SpinBox
        assert each.state().readOnly
        assert each.parent().text(QAccessible.Text.Name).startswith("Upper arm, front pivot")
        for kind in ("actionInterface", "textInterface", "selectionInterface"):
            getattr(each, kind)()  # Qt ends the process where it is answered None


def test_each_cell_is_told_with_its_row_and_its_column(qtbot: QtBot) -> None:
    window = window_on(qtbot, car(CARS[-2]))
    window.session.show(window.session.systems()[1])
    window.bench.show_tab("Leaf pack")
    tables = [each for each in window.findChildren(QTableView) if each.isVisible()]
    assert any(isinstance(each, TextTable) for each in tables)
    for table in tables:
        model, role = table.model(), Qt.ItemDataRole.AccessibleTextRole
        heads = [
            model.headerData(column, Qt.Orientation.Horizontal, role)
            or model.headerData(column, Qt.Orientation.Horizontal)
            for column in range(model.columnCount())
        ]
        assert all(heads), table.accessibleName()
        words = [
            str(model.index(row, column).data(role))
            for row in range(model.rowCount())
            for column in range(1, model.columnCount())
        ]
        assert not any(each.endswith(("·", "✓ clip")) for each in words)
        if isinstance(table, TextTable | ValuesView):  # measured isn't told as proposed
            assert len(set(words)) == len(words), table.accessibleName()
