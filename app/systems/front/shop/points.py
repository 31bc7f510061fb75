"""The front's points as the shop's table has them. No Qt."""

from __future__ import annotations

from app.document.keys import points_of
from app.document.moves import total_moves
from app.document.point_names import point_title
from app.systems.answers import Study
from app.systems.front.places import proposed_places
from app.systems.front.study import FrontAnswers
from app.systems.points import PointFacts


def front_points(study: Study[FrontAnswers]) -> PointFacts:
    """Return the front's points."""
    setup = study.setup
    keys = points_of(setup, "front")
    return PointFacts(
        {key: point_title(key, setup.evidence) for key in keys},
        total_moves(setup),
        proposed_places(study),
    )
