"""The rear's points as the shop's table has them, of what was fitted and what will be. No Qt."""

from __future__ import annotations

from typing import Final

from app.document.keys import ALL_KEYS, KEYS
from app.document.moves import total_moves
from app.document.point_names import point_title
from app.systems.answers import Study
from app.systems.points import PointFacts
from app.systems.rear.answers import RearAnswers
from app.systems.rear.places import proposed_places

_OF: Final = {"leaf axle": "rear.front_eye", "five-link axle": "rear.lower_body"}


def rear_points(study: Study[RearAnswers]) -> PointFacts:
    """Return the rear's points; those of both kinds where the axle is changed for another."""
    keys = _keys(study)
    was, now = (
        frozenset(key for key in keys if KEYS[key].fits & KEYS[_OF[car.kind]].fits)
        for car in (study.measured, study.proposed)
    )
    return PointFacts(
        {key: point_title(key, study.setup.evidence) for key in keys},
        total_moves(study.setup),
        proposed_places(study),
        new=now - was,
        gone=was - now,
        datum=("front_eye", "the front eye"),
        on_axle=True,
    )


def _keys(study: Study[RearAnswers]) -> tuple[str, ...]:
    """Return the points of what was and what will be fitted, those that a change adds included."""
    on = [change for change in study.setup.changes if change.on]
    setup_keys = {
        *study.setup.evidence,
        *(k for change in on for k in (*change.moves, *change.sets)),
    }
    fits = {name for car in (study.measured, study.proposed) for name in KEYS[_OF[car.kind]].fits}
    return tuple(
        key.name
        for key in ALL_KEYS
        if key.kind == "point"
        and key.name.startswith("rear.")
        and key.name in setup_keys
        and key.fits & fits
    )
