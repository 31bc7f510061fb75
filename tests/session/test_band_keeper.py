"""Bands come from beside the window: asked for at rest, followed in a drag, taken away again."""

from __future__ import annotations

import os
import signal
from dataclasses import replace
from multiprocessing import get_context, resource_tracker

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from app.document.edits import move_points
from app.document.model import FrozenMap, Setup
from app.judge.worker import Job, Reply, answer
from app.session.band_keeper import BandKeeper, Helper
from app.session.session import Session
from app.systems.banded import CARS_OF, QUICK, STRAIGHT, WHOLE, CarBands, StudyBands
from app.systems.front.system import FRONT
from tests.helpers.beside import Beside
from tests.helpers.known_setups import LOWERED, known

pytestmark = [pytest.mark.gui, pytest.mark.bands]


def moved(setup: Setup, up: float) -> Setup:
    return move_points(setup, 0, ("front.upper_front",), (0.0, 0.0, up))


@pytest.fixture
def beside() -> Beside:
    return Beside()


def test_bands_are_asked_for_at_rest_and_stand_beside_the_figures(
    qtbot: QtBot, beside: Beside
) -> None:
    session = Session(known(LOWERED))
    BandKeeper(session, beside).begin()
    qtbot.waitUntil(lambda: len(beside.jobs) == 1)
    assert beside.jobs[0][1:] == (session.setup, "front", WHOLE)
    with qtbot.waitSignal(session.bands_changed):
        beside.reply(WHOLE, 0.01)
    assert session.study is not None
    assert session.study.bands is not None
    assert session.study.bands.within("built", FRONT.catalogue[0]) == 0.01
    qtbot.waitUntil(lambda: session.face.bands_of == session.setup)
    session.study_changed.emit()
    assert len(beside.jobs) == 1  # nothing is left to ask


def test_a_drag_is_followed_by_quick_bands_of_where_the_hand_is(
    qtbot: QtBot, beside: Beside
) -> None:
    session = Session(known(LOWERED))
    BandKeeper(session, beside).begin()
    qtbot.waitUntil(lambda: len(beside.jobs) == 1)
    beside.reply(WHOLE, 0.01)
    qtbot.waitUntil(lambda: session.face.bands_of == session.setup)
    first, last = moved(session.setup, -1.0), moved(session.setup, -2.0)
    session.preview(first)
    assert beside.jobs[-1][1:] == (first, "front", QUICK)
    session.preview(last)  # before the answer: it waits its turn
    assert len(beside.jobs) == 2
    beside.reply(QUICK, 0.02)
    qtbot.waitUntil(lambda: len(beside.jobs) == 3)
    assert beside.jobs[-1][1:] == (last, "front", QUICK)
    beside.reply(QUICK, 0.03)
    qtbot.waitUntil(
        lambda: (
            session.bands is not None and session.bands.within("built", FRONT.catalogue[0]) == 0.03
        )
    )
    session.cancel()
    qtbot.waitUntil(lambda: beside.jobs[-1].level == WHOLE)


def test_bands_go_when_nobody_says_any_more_how_well_it_was_measured(
    qtbot: QtBot, beside: Beside
) -> None:
    session = Session(known())
    BandKeeper(session, beside).begin()
    qtbot.waitUntil(lambda: len(beside.jobs) == 1)
    beside.reply(WHOLE, 0.01)
    qtbot.waitUntil(lambda: session.bands is not None)
    evidence = FrozenMap(session.setup.readings).without("sheet.measured_within")
    with qtbot.waitSignal(session.bands_changed):
        session.commit(session.setup.having(evidence=evidence), "Not known any more")
    assert session.bands is None
    assert session.study is not None
    assert session.study.bands is None


def test_the_process_answers_with_more_and_more() -> None:
    replies: list[Reply] = []
    setup = known(LOWERED)
    answer(Job(7, setup, "front", STRAIGHT), replies.append, lambda: None)
    assert [reply.number for reply in replies] == [7, 7]
    bands, end = (reply.bands for reply in replies)
    assert end is None
    assert bands is not None
    result = next(each for each in FRONT.catalogue if each.key == "roll_centre_height")
    travel = FRONT.study(setup).proposed.travel.at
    within = bands.curve("built", "travel", result, travel)
    assert within is not None
    assert (within > 0.0).all()
    assert bands.within("built", result) == pytest.approx(
        float(np.interp(0.0, travel, within)), rel=0.02
    )


def test_a_process_of_its_own_works_the_bands_out(qtbot: QtBot) -> None:
    helper = Helper()
    session = Session(known(LOWERED))
    BandKeeper(session, helper).begin()
    try:
        with qtbot.waitSignal(session.bands_changed, timeout=60_000):
            pass
        assert session.bands is not None
    finally:
        helper.end()
    assert helper.replies(1) == []


def test_a_process_that_cannot_be_started_leaves_the_figures_without_bands(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(process: object) -> None:
        raise OSError("no more processes")

    monkeypatch.setattr(get_context("spawn").Process, "start", refuse)
    helper = Helper()
    session = Session(known(LOWERED))
    asked: list[Job] = []
    monkeypatch.setattr(helper, "send", lambda job: (asked.append(job), Helper.send(helper, job)))
    BandKeeper(session, helper).begin()
    qtbot.waitUntil(lambda: bool(asked))
    helper.end()  # nothing is left half begun
    assert session.study is not None
    assert session.bands is None
    monkeypatch.undo()
    session.commit(moved(session.setup, 2.0), "on")
    try:
        with qtbot.waitSignal(session.bands_changed, timeout=60_000):
            pass
    finally:
        helper.end()


def test_a_process_is_started_even_where_pythons_own_helper_was_killed(qtbot: QtBot) -> None:
    """Warnings are errors here, as `python -W error` has them; that one must not end the bands."""
    resource_tracker.ensure_running()
    tracker = resource_tracker._resource_tracker._pid  # type: ignore[attr-defined]
    os.kill(tracker, signal.SIGKILL)
    os.waitpid(tracker, 0)
    helper = Helper()
    session = Session(known(LOWERED))
    BandKeeper(session, helper).begin()
    try:
        with qtbot.waitSignal(session.bands_changed, timeout=60_000):
            pass
    finally:
        helper.end()


def test_a_probability_is_never_told_of_another_car(qtbot: QtBot, beside: Beside) -> None:
    """± may stay beside a figure that moves on; how probably a limit is kept may not."""
    session = Session(known(LOWERED))
    kept = {"camber": 0.7}
    nothing = StudyBands({car: CarBands({"camber": np.array([0.01])}) for car in CARS_OF})
    judged = replace(nothing, kept=kept, most={"built": kept}, drill_within=1.0, level=WHOLE)
    session.take_bands("front", session.setup, judged)
    assert session.bands is not None
    assert session.bands.kept == kept
    session.preview(moved(session.setup, -20.0))
    for bands in (session.bands, session.study.bands):  # type: ignore[union-attr]
        assert bands is not None
        assert (bands.kept, bands.most, bands.drill_within) == ({}, {}, None)
        assert bands.within("built", FRONT.catalogue[0]) == judged.within(
            "built", FRONT.catalogue[0]
        )
    session.cancel()
    assert session.bands.kept == kept
