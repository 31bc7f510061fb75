"""What the board shows of the rear: its titles, its drawings, the points that can't meet."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from app.board.axles import Drawings
from app.document.keys import KEYS
from app.drawing.rear import TITLES, RearOptions, RearShown, rear_drawings
from app.drawing.views import View
from app.rear_answers import RearStudy, RearSweep
from app.session import Session
from geometry.errors import GeometryError
from geometry.rear_errors import ShackleOutOfReach

LINK_END: Final = re.compile(r"(lower|upper|lateral) (?:(left|right) )?link, (body|axle) end")


class RearFace:
    """The rear's side of the board."""

    titles: Mapping[View, str] = TITLES

    def drawings(self, session: Session, marked: str, decimal: str) -> Drawings | None:
        """Return the drawing of each view, None while there is nothing to draw."""
        study, proposed, measured = session.study, session.proposed, session.measured
        if not (isinstance(study, RearStudy) and isinstance(proposed, RearSweep)):
            return None
        was = measured if isinstance(measured, RearSweep) else None
        locked, wrong = frozenset(session.locks), rear_points(session.problem)
        options = RearOptions(display=session.rear_display, decimal=decimal, result=marked)
        return rear_drawings(RearShown(study, proposed, was, locked, wrong), options)


def rear_points(problem: GeometryError | None) -> frozenset[str]:
    """Return the keys of the points at the rear that can't be brought together."""
    if isinstance(problem, ShackleOutOfReach):
        return frozenset(("rear.rear_eye", "rear.shackle_body"))
    names = (getattr(problem, "first", ""), getattr(problem, "second", ""))
    return frozenset(key for name in names for key in _link_end(name))


def _link_end(name: str) -> tuple[str, ...]:
    """Return the key of "lower left link, body end"."""
    found = LINK_END.fullmatch(name)
    if found is None:
        return ()
    link, side, end = found.groups()
    key = f"rear.{'right.' if side == 'right' else ''}{link}_{end}"
    return (key,) if key in KEYS else ()
