"""The active change is one that there is, whenever anybody is told of anything."""

from __future__ import annotations

import pytest

from app.document.model import Change
from app.session.session import Session
from tests.helpers.panel_windows import saloon_session

pytestmark = pytest.mark.gui


def test_undo_of_a_new_change_never_leaves_it_active() -> None:
    session: Session = saloon_session(active=0)
    changes = session.setup.changes
    session.commit(session.setup.having(changes=(*changes, Change("Another"))), "add a change")
    session.set_active(len(changes))
    told: list[bool] = []

    def look() -> None:
        told.append(session.active is None or session.active < len(session.setup.changes))

    session.setup_changed.connect(look)
    session.active_changed.connect(look)
    session.undo()
    assert len(told) >= 2
    assert all(told)
