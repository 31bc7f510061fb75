"""Answers beside each other tell of each car what its own study tells."""

from __future__ import annotations

from dataclasses import replace
from math import degrees

import pytest

from app.document.model import Setup
from app.document.plans import Want
from app.judge.finder import FindJob, FindReply, answer
from app.judge.told_answers import GIVES, AnswerRow, AnswerTable
from tests.helpers.sought import CAMBER_GAIN, GAIN, PIVOTS, found_value, saloon

pytestmark = pytest.mark.gui

KEPT = Want("front.caster", keep=True, kind="angle")


@pytest.fixture(name="tables", scope="module")
def _tables() -> dict[str, AnswerTable]:
    """Room for 6 mm only: one want gives, by what the last car lacks."""
    narrow = {key: replace(room, z=(-6.0, 6.0)) for key, room in PIVOTS.items()}
    replies: list[FindReply] = []
    answer(FindJob(7, asked(narrow)), replies.append, lambda: True)
    assert {reply.number for reply in replies} == {7}
    shares = [reply.share for reply in replies]
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
    assert replies[-1].tables is not None
    return dict(replies[-1].tables)


def asked(rooms: object = PIVOTS) -> Setup:
    return saloon(wants=(CAMBER_GAIN,), rooms=rooms)


def row(table: AnswerTable, words: str) -> AnswerRow:
    (found,) = (each for each in table.rows if words in each.head)
    return found


def number(text: str) -> float:
    return float(text.split("°")[0].split()[0].rstrip("!*").replace("−", "-"))


def test_each_column_is_the_car_that_its_change_makes(tables: dict[str, AnswerTable]) -> None:
    table = tables["mm"]
    assert table.heads[0] == "As found"
    assert table.changes[0] is None
    for place, change in enumerate(table.changes):
        setup = asked() if change is None else asked().having(changes=(change,))
        camber = row(table, "Front: Camber, °").cells[place].text
        assert number(camber) == pytest.approx(
            degrees(found_value(setup, "front.camber")), abs=6e-3
        )
        gain = row(table, "Camber gain: wanted").cells[place].text
        told = found_value(setup, "front.camber_gain") / GAIN
        assert number(gain) == pytest.approx(told, abs=6e-4)


def test_what_gives_says_by_how_much_and_what_stops_it(tables: dict[str, AnswerTable]) -> None:
    table = tables["mm"]
    assert not table.is_met
    change = table.changes[-1]
    assert change is not None
    cell = row(table, "What gives").cells[-1]
    missed = found_value(asked().having(changes=(change,)), "front.camber_gain") / GAIN + 0.5
    assert cell.mark == GIVES
    assert number(cell.text.removeprefix("Camber gain: ")) == pytest.approx(missed, abs=6e-4)
    assert cell.text.endswith("too high.")
    assert "can't go further lower" in row(table, "What stops it").cells[-1].text
    assert "1 mm further lower would bring Camber gain" in row(table, "More room").cells[-1].text
    assert "0.1 in further lower" in row(tables["in"], "More room").cells[-1].text
    assert not any(cell.text for cell in row(table, "What moves").cells[:-1])


def test_why_nothing_can_be_sought_is_said_by_titles() -> None:
    replies: list[FindReply] = []
    setup = asked({"front.upper_rear": replace(PIVOTS["front.upper_rear"], z=None)})
    answer(FindJob(1, setup), replies.append, lambda: True)
    assert replies[-1].refusal.startswith("“Upper arm, rear pivot” is alike “Upper arm, front")


def test_a_search_that_is_stopped_tells_nothing_more() -> None:
    replies: list[FindReply] = []
    answer(FindJob(1, asked()), replies.append, lambda: False)
    assert all(reply.tables is None and not reply.refusal for reply in replies)
    answer(FindJob(2, None), replies.append, lambda: True)
    assert replies[-1:] == [] or replies[-1].number == 1
