"""The cautions that belong to the jobs that are on. None of them says that a car is safe."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, Final

from app.document.address import left_of
from app.document.model import Change, FrozenMap, Setup
from app.document.moves import total_moves
from app.systems.answers import Study
from app.systems.every import SYSTEMS
from app.systems.system import System

LAST: Final = (
    "Brakes, steering and suspension are safety parts. This is a calculation, not an approval: the "
    "workshop manual, the law where the car is driven and a licensed engineer or inspector decide."
)


def cautions_of(studies: Iterable[Study[Any]]) -> list[str]:
    """Return the cautions of several systems, each once; what holds for all of them comes last."""
    caution_lists = [
        study_cautions for study in studies if (study_cautions := _own_cautions(study)) is not None
    ]
    every = dict.fromkeys(caution for study_cautions in caution_lists for caution in study_cautions)
    return [*every, LAST] if caution_lists else []


def _own_cautions(study: Study[Any]) -> tuple[str, ...] | None:
    """Return the cautions of a system's own jobs, None where it has none."""
    system = study.system
    setup = study.setup
    on = [
        part
        for change in setup.changes
        if change.on and (part := own_part(_seen_part(setup, change), system))
    ]
    return tuple(system.cautions(study, on)) if on else None


def _seen_part(setup: Setup, change: Change) -> Change:
    """Return a change without moves of points that all changes together leave where they were."""
    moved = {left_of(key) for key in total_moves(setup)}
    moves = {key: move for key, move in change.moves.items() if left_of(key) in moved}
    return replace(change, moves=FrozenMap(moves))


def own_part(change: Change, system: System[Any]) -> Change | None:
    """Return what a change does to a system and the whole car, None where it leaves it alone."""
    others = tuple(f"{other.key}." for other in SYSTEMS if other is not system)
    moves = {key: move for key, move in change.moves.items() if not key.startswith(others)}
    sets = {key: value for key, value in change.sets.items() if not key.startswith(others)}
    return replace(change, moves=moves, sets=sets) if moves or sets else None
