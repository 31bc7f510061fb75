"""What the board shows of the rear: its titles, its drawings, the points that can't meet."""

from __future__ import annotations

from collections.abc import Mapping

from app.board.axles import Drawings
from app.drawing.views import View
from app.session.session import Session
from app.systems.rear.answers import RearStudy, RearSweep
from app.systems.rear.drawing.drawing import TITLES, RearOptions, RearShown, rear_drawings
from app.words.errors import error_keys


class RearFace:
    """The rear's side of the board."""

    titles: Mapping[View, str] = TITLES

    def drawings(self, session: Session, marked: str, decimal: str) -> Drawings | None:
        """Return the drawing of each view, None while there is nothing to draw."""
        study, proposed, measured = session.study, session.proposed, session.measured
        if not (isinstance(study, RearStudy) and isinstance(proposed, RearSweep)):
            return None
        was = measured if isinstance(measured, RearSweep) else None
        locked, wrong = frozenset(session.locks), frozenset(error_keys(session.problem))
        options = RearOptions(display=session.rear_display, decimal=decimal, result=marked)
        return rear_drawings(RearShown(study, proposed, was, locked, wrong), options)
