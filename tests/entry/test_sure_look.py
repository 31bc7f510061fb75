"""The guide's last page says how sure its first results are, and what to measure again."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QPushButton
from pytestqt.qtbot import QtBot

from app.document.edits import remove_evidence
from app.entry import sure_look
from app.entry.guide import MeasureWindow
from app.entry.last_page import LastPage
from app.systems.banded import WHOLE, Again
from tests.helpers.beside import Beside
from tests.helpers.entering import Opened, focused, press, sample

pytestmark = [pytest.mark.gui, pytest.mark.bands]

BALL = Again("front.upper_ball.z", 0.31, {}, {})
LITTLE = Again("front.lower_ball.x", 0.01, {}, {})
TAPE = Again("tape 3", 0.2, {}, {})


def words_of(window: MeasureWindow) -> str:
    assert isinstance(window.page, LastPage)
    labels = window.page.findChildren(QLabel)
    return " | ".join(each.text() for each in labels if each.isVisibleTo(window.page))


@pytest.fixture
def beside(monkeypatch: pytest.MonkeyPatch) -> Beside:
    made = Beside()
    monkeypatch.setattr(sure_look, "Helper", lambda: made)
    return made


def test_bands_come_beside_the_figures_and_lead_to_what_to_measure_again(
    opened: Opened, beside: Beside, qtbot: QtBot
) -> None:
    setup = sample("small_saloon")
    window = opened(setup)
    window.sitting.go("last")
    assert focused() is window.foot.next  # nothing is open
    qtbot.waitUntil(lambda: len(beside.jobs) == 1)
    assert beside.jobs[0][1:] == (setup.having(changes=()), "front", WHOLE)
    assert "80.2 mm above the ground" in words_of(window)
    assert "is being worked out…" in words_of(window)
    beside.reply(WHOLE, 6.0, "roll_centre_height", (BALL, TAPE, LITTLE))
    qtbot.waitUntil(lambda: len(beside.jobs) == 2)
    assert beside.jobs[1].system == "rear"
    qtbot.waitUntil(lambda: "80 ±6 mm above the ground" in words_of(window))
    again = "Upper ball joint, height | 31 % | Tape 3 | 20 %"
    qtbot.waitUntil(lambda: again in words_of(window))
    assert "Lower ball joint" not in words_of(window)
    beside.reply(WHOLE, 2.0, "roll_centre_height")
    qtbot.waitUntil(lambda: "is being worked out" not in words_of(window))
    assert "243 ±2 mm" in words_of(window)
    window.sitting.set_units("in")
    qtbot.waitUntil(lambda: "3.2 ±0.2 in above the ground" in words_of(window))
    assert len(beside.jobs) == 2
    press(Qt.Key.Key_Backtab)  # from the foot to the last of the page's buttons
    button = focused()
    assert isinstance(button, QPushButton)
    assert (button.text(), button.accessibleDescription()) == ("Look at it", "Tape 3")
    press(Qt.Key.Key_Backtab)
    press(Qt.Key.Key_Return)
    assert window.sitting.current.key == "front.upper_ball"


def test_a_sign_that_is_open_is_said_as_such(opened: Opened, beside: Beside, qtbot: QtBot) -> None:
    window = opened(sample("small_saloon"))
    window.sitting.go("last")
    qtbot.waitUntil(lambda: len(beside.jobs) == 1)
    beside.reply(WHOLE, 100.0, "roll_centre_height")
    qtbot.waitUntil(lambda: "above the ground, or below" in words_of(window))


def test_where_nothing_is_said_the_way_to_say_it_is_one_button(
    opened: Opened, beside: Beside
) -> None:
    setup = remove_evidence(sample("small_saloon"), "sheet.measured_within")
    window = opened(setup.having(within={}))
    window.sitting.go("last")
    assert "Nothing says yet how well anything was measured" in words_of(window)
    assert not beside.jobs
    assert focused() is window.foot.next
    press(Qt.Key.Key_Backtab)
    assert focused().accessibleDescription().startswith("How sure is that?")
    press(Qt.Key.Key_Return)
    assert window.sitting.current.key == "weights"


def test_where_no_process_can_be_had_the_figures_stand_alone(
    opened: Opened, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    def refuse(_helper: object) -> None:
        raise OSError("none can be had")

    monkeypatch.setattr(sure_look.Helper, "_start", refuse)
    window = opened(sample("small_saloon"))
    window.sitting.go("last")
    qtbot.waitUntil(lambda: "is being worked out" not in words_of(window))
    assert "80.2 mm above the ground" in words_of(window)


def test_the_reading_that_tapes_speak_against_is_the_first_thing_on_the_last_page(
    opened: Opened, beside: Beside
) -> None:
    window = opened(sample("taped_saloon"))
    window.sitting.go("last")
    button = focused()
    assert isinstance(button, QPushButton)
    assert button.accessibleDescription().startswith("Look again: tape 4 (")
    press(Qt.Key.Key_Return)
    assert window.sitting.current.key == "tapes"
