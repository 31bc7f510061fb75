"""Which change stays active, the one that drags add to, after undo and redo."""

from __future__ import annotations

from itertools import zip_longest

from app.document.model import Change

Changes = tuple[Change, ...]


def followed(before: Changes, after: Changes, active: int | None) -> int | None:
    """Return the place of the active change among others, None where it is gone.

    A change that comes is the active one, as it was when it was made: the next drag goes on with
    it. When the active one goes, the next drag starts a new one and touches no neighbour.
    """
    if len(after) > len(before):
        return _first_other(before, after)
    if active is None or active >= len(before):
        return None
    if len(after) < len(before):
        other_change = _first_other(before, after)
        return None if active == other_change else active - (active > other_change)
    moved = after[active] != before[active] and before[active] in after
    return after.index(before[active]) if moved else active


def _first_other(before: Changes, after: Changes) -> int:
    return next(i for i, (old, new) in enumerate(zip_longest(before, after)) if old != new)
