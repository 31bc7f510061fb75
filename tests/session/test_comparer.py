"""The process beside the window works bands of proposals out, and ends with the question."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from app.judge.compare import comparison
from app.judge.compare_bands import has_bands, told_by
from app.judge.compare_worker import CompareReply, serve
from app.session.beside import Beside
from app.session.comparer import Comparer
from app.shop.proposals import compared_setup
from tests.helpers.entering import sample
from tests.judge.test_compare import without_rear

pytestmark = [pytest.mark.gui, pytest.mark.slow, pytest.mark.long]


def test_bands_of_proposals_come_from_a_process_beside(qtbot: QtBot) -> None:
    setup = without_rear(sample("small_saloon"))
    whole = compared_setup(setup.having(together=setup.together[:1]))
    assert whole is not None
    comparer, replies = Comparer(beside=Beside(serve)), list[CompareReply]()
    comparer.answered.connect(replies.append)
    comparer.ask(whole)
    qtbot.waitUntil(lambda: bool(replies), timeout=60_000)
    assert comparer.is_going
    assert has_bands(told_by(comparison(whole, ()), replies[0].rows))
    comparer.stop()
    assert not comparer.is_going
