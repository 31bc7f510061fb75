"""The front's points as the shop's table has them. No Qt."""

from __future__ import annotations

from app.document.keys import KEYS, points_of
from app.document.model import Setup
from app.document.moves import total_moves
from app.systems.answers import Study
from app.systems.front.places import proposed_places
from app.systems.front.study import FrontAnswers
from app.systems.points import PointFacts


def front_points(study: Study[FrontAnswers]) -> PointFacts:
    """Return the front's points."""
    setup = study.setup
    keys = points_of(setup, "front")
    return PointFacts(
        {key: _title(key, setup) for key in keys}, total_moves(setup), proposed_places(study)
    )


def _title(key: str, setup: Setup) -> str:
    """Return a point's title; of a link and a strut rod by the part it holds."""
    title = KEYS[key].title
    if setup.evidence.get("front.lower_arm") != "link and strut rod":
        return title
    title = title.replace("Lower arm, front pivot", "Strut rod, body bush")
    return title.replace("Lower arm, rear pivot", "Lower link, body bush")
