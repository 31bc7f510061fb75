"""Which change an edit goes into: the active one, or a new one named from what moved."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from app.document.edits import add_change, free_name, move_points, rename_change, switch_change
from app.document.model import Change, Setup, Units, Vec
from app.systems.system import System
from app.words.changes import NEW, suggested_name


def with_target(setup: Setup, active: int | None) -> tuple[Setup, int]:
    """Return the setup and the index of the change to edit.

    One is added where none is active; one that is off is switched on, or the hand would move
    nothing that can be seen.
    """
    if active is not None and active < len(setup.changes):
        return switch_change(setup, active, True), active
    added = add_change(setup, Change(free_name(setup, NEW)))
    return added, len(added.changes) - 1


def moved_point(system: System[Any], setup: Setup, index: int, key: str, step: Vec) -> Setup:
    """Return the setup with a point moved [mm]: by a value where it goes by one, as the pinion.

    Raises
    ------
    EditError
        It can't be moved, with the reason in the user's words.
    """
    if not any(step):
        return setup
    by_value = system.moved_by_value(setup, index, key, step)
    return move_points(setup, index, (key,), step) if by_value is None else by_value


def renamed(before: Setup, after: Setup, index: int, units: Units) -> Setup:
    """Update the change's generated name; a name that the user typed stays."""
    change = after.changes[index]
    new_name = suggested_name(after.having(units=units), change)
    if not _follows(before, index, units) or new_name == change.name:
        return after
    others = after.having(changes=(*after.changes[:index], *after.changes[index + 1 :]))
    return rename_change(after, index, free_name(others, new_name))


@lru_cache(maxsize=8)
def _follows(setup: Setup, index: int, units: Units) -> bool:
    """Tell whether a change's name is still one that was made for it."""
    if index >= len(setup.changes):
        return True
    change = setup.changes[index]
    made = suggested_name(setup.having(units=units), change)
    return change.name.startswith((NEW, made))
