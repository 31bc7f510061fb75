"""Slow panels follow a hand now and then, and what it has come to in the end."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from app.session.between_frames import Pace

pytestmark = pytest.mark.gui


def test_what_a_hand_has_come_to_is_followed_though_it_moves_no_more(qtbot: QtBot) -> None:
    session, owner, seen = SimpleNamespace(is_in_hand=True, at=0), QObject(), []
    pace = Pace(session, lambda: seen.append(session.at), owner)  # type: ignore[arg-type]
    for session.at in (1, 2, 3):
        pace.follow()
    assert seen == []  # a frame comes first
    qtbot.waitUntil(lambda: seen == [3])
    session.at = 4
    pace.follow()  # sooner than figures can be read
    qtbot.waitUntil(lambda: seen == [3, 4])


def test_at_rest_it_follows_at_once(qapp: object) -> None:
    owner, seen = QObject(), []
    pace = Pace(SimpleNamespace(is_in_hand=False), lambda: seen.append(1), owner)  # type: ignore[arg-type]
    pace.follow()
    pace.follow()
    assert seen == [1, 1]
