"""What the board shows of each axle: its titles, its drawings, the points that can't meet."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from app.drawing.strokes import Drawing
from app.drawing.views import View
from app.session.session import Axle, Session
from app.systems.front.drawing.drawing import Options, Shown, front_drawings
from app.systems.front.study import Study
from app.words.errors import error_keys
from geometry.front.sweeps import Sweep

Drawings = dict[View, Drawing]


class AxleFace(Protocol):
    """One axle's side of the board."""

    titles: Mapping[View, str]

    def drawings(self, session: Session, marked: str, decimal: str) -> Drawings | None:
        """Return the drawing of each view, None while there is nothing to draw."""


class FrontFace:
    """The front's side of the board."""

    titles: Mapping[View, str] = {view: view.title for view in View}

    def drawings(self, session: Session, marked: str, decimal: str) -> Drawings | None:
        """Return the drawing of each view, None while there is nothing to draw."""
        study, proposed, measured = session.study, session.proposed, session.measured
        if not (isinstance(study, Study) and isinstance(proposed, Sweep)):
            return None
        was = measured if isinstance(measured, Sweep) else None
        locked, wrong = frozenset(session.locks), frozenset(error_keys(session.problem))
        return front_drawings(
            Shown(study, proposed, was, locked, wrong), Options(decimal=decimal, result=marked)
        )


def face_of(axle: Axle) -> AxleFace:
    """Return an axle's side of the board; the rear's is only loaded where it is shown."""
    if axle == "front":
        return FrontFace()
    from app.board.rear_face import RearFace

    return RearFace()
