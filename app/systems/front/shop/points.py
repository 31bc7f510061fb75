"""The front's points as the shop's table has them. No Qt."""

from __future__ import annotations

from app.document.address import Point, left_of, mirrored
from app.document.keys import ALL_KEYS, KEYS, points_of
from app.document.model import Setup
from app.document.moves import LEAST, REST, is_measured, subtract, total_moves
from app.document.point_names import point_title
from app.systems.answers import Study
from app.systems.front.places import proposed_places
from app.systems.front.study import FrontAnswers
from app.systems.points import PointFacts


def front_points(study: Study[FrontAnswers]) -> PointFacts:
    """Return the front's points, right-hand ones too where they move otherwise than the left."""
    setup = study.setup
    there = {*points_of(setup, "front"), *_moved_by_themselves(setup)}
    keys = [key.name for key in ALL_KEYS if key.name in there]
    return PointFacts(
        {key: point_title(key, setup.evidence) for key in keys},
        total_moves(setup),
        proposed_places(study),
    )


def _moved_by_themselves(setup: Setup) -> set[str]:
    """Return the right-hand points that don't move as the mirror of the left ones."""
    moves = total_moves(setup)
    lefts = {left_of(key) for key in moves if Point.at(key).end == "front"}
    pairs = ((left, Point.at(left).mirror.key) for left in lefts)
    return {
        right
        for left, right in pairs
        if right in KEYS
        and is_measured(setup, right)
        and max(map(abs, subtract(moves.get(right, REST), mirrored(moves.get(left, REST))))) > LEAST
    }
