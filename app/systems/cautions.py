"""The cautions that belong to the jobs that are on. None of them says that a car is safe."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, Final

from app.document.model import Change
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
    on = [
        part for change in study.setup.changes if change.on and (part := own_part(change, system))
    ]
    return tuple(system.cautions(study, on)) if on else None


def own_part(change: Change, system: System[Any]) -> Change | None:
    """Return what a change does to a system and the whole car, None where it leaves it alone."""
    others = tuple(f"{other.key}." for other in SYSTEMS if other is not system)
    moves = {key: move for key, move in change.moves.items() if not key.startswith(others)}
    sets = {key: value for key, value in change.sets.items() if not key.startswith(others)}
    return replace(change, moves=moves, sets=sets) if moves or sets else None
