"""Every dialog of the program: what the keyboard reaches in it has a name and a role."""

from __future__ import annotations

import ast
from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QDialog
from pytestqt.qtbot import QtBot

from app.desk.aligning import AlignDialog
from app.desk.car_details import CarDetails
from app.desk.clearing.window import ClearancesWindow
from app.desk.comparing import ComparingDialog
from app.desk.finding.window import FindWindow
from app.desk.guide_window import GuideWindow
from app.desk.levelling import LevellingDialog
from app.desk.point_editor import PointEditor
from app.desk.point_list import PointListDialog
from app.desk.search import SearchBox
from app.desk.steps_list import StepsList
from app.desk.window import Window
from app.document.as_read import ways_of
from app.document.faults import Fault
from app.document.point_list import read_point_list
from app.entry.as_read import ReadingsDialog
from app.filing.faults_dialog import FaultsDialog
from app.judge.drawn import Drawn
from app.panels.curves.closer_look import CloserLook
from app.panels.lists.limits import LimitDialog
from app.panels.lists.reading_dialog import ReadingDialog
from app.panels.lists.tape_dialog import TapeDialog
from app.panels.lists.value_dialog import ValueDialog
from app.session.session import Session
from tests.desk.test_comparing import Told
from tests.desk.test_screen_reader import faults
from tests.document.test_point_list import DATUM, SETUP, as_listed
from tests.helpers.entering import sample
from tests.helpers.project import ROOT

pytestmark = pytest.mark.gui
POINT = "front.upper_front"
FAULT = Fault("a.toml", 1, "front.camber", "found nothing", "a number", "")


def made(window: Window) -> Iterator[QDialog]:
    """Yield one dialog of each kind."""
    session, setup = window.session, window.session.history.value
    camber = next(result for result in session.study.results if result.key == "camber")
    yield LimitDialog(session, camber)
    yield ValueDialog(session, Drawn("front", ("camber",), 0, session.pose, session.in_body))
    yield TapeDialog(setup, "mm", session.commit)
    yield ReadingDialog(session, POINT)
    yield PointEditor(session, POINT)
    yield LevellingDialog(session)
    yield PointListDialog(session, read_point_list(as_listed(SETUP, *DATUM), "l.csv"), "l.csv")
    yield ReadingsDialog(setup, "mm", ways_of(setup), session.commit)
    yield CarDetails(session)
    yield AlignDialog(session)
    yield ComparingDialog(session, comparer=Told())
    yield StepsList(session)
    yield CloserLook(session, window)
    yield FaultsDialog("a.toml", (FAULT,))
    yield GuideWindow()
    for beside in (SearchBox, FindWindow, ClearancesWindow):
        yield beside(window)


@pytest.mark.slow
def test_all_that_the_keyboard_reaches_in_a_dialog_has_a_name(qtbot: QtBot) -> None:
    window = Window(Session(sample("small_saloon")))
    qtbot.addWidget(window)
    seen, nameless = set(), {}
    for dialog in made(window):
        qtbot.addWidget(dialog)
        dialog.show()
        qtbot.wait(1)
        seen.add(type(dialog).__name__)
        if found := faults(dialog):
            nameless[type(dialog).__name__] = found
        dialog.hide()
    assert nameless == {}
    assert seen == dialogs_written()


def dialogs_written() -> set[str]:
    """Return the names of all dialogs in the program's text."""
    names = set()
    for path in (ROOT / "app").rglob("*.py"):
        if "QDialog" in (text := path.read_text()):
            classes = (n for n in ast.walk(ast.parse(text)) if isinstance(n, ast.ClassDef))
            names |= {
                each.name
                for each in classes
                if any(isinstance(base, ast.Name) and base.id == "QDialog" for base in each.bases)
            }
    return names
