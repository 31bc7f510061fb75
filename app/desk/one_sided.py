"""Says when a step moves a point on one side of the car only, though the other has its own."""

from __future__ import annotations

from collections.abc import Mapping

from app.document.address import key_of
from app.document.ends import ENDS
from app.document.model import Setup, Vec
from app.document.moves import right_moves_of_their_own, total_moves_of_side
from app.document.point_names import point_title


def one_sided_words(before: Setup, after: Setup) -> str:
    """Return which points moved on one side while the other side's own move stayed; or nothing."""
    names: dict[str, list[str]] = {"left": [], "right": []}
    for end in ENDS:
        own = right_moves_of_their_own(after, end)
        moved = {
            side: _changed(
                total_moves_of_side(before, end, side), total_moves_of_side(after, end, side)
            )
            for side in names
        }
        for side, other in (("left", "right"), ("right", "left")):
            alone = (name for name in moved[side] if name in own and name not in moved[other])
            names[side] += [
                point_title(key_of(end, "left", name), after.evidence) for name in alone
            ]
    return " ".join(
        f"{', '.join(titles)}: moved on the {side} only; the other side has a place of its own."
        for side, titles in names.items()
        if titles
    )


def _changed(before: Mapping[str, Vec], after: Mapping[str, Vec]) -> list[str]:
    return [name for name, move in after.items() if before.get(name) != move]
