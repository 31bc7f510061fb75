"""The table of points as rows: where each was measured, where it is proposed, its move. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any, Literal, cast

from app.document.address import left_of, mirrored
from app.document.model import Setup, Vec, widest
from app.systems.answers import Study
from app.systems.points import PointFacts
from geometry.dataclass import dataclass

Fate = Literal["stays", "moves", "new", "comes off"]


@dataclass(frozen=True)
class PointRow:
    """A point of one side [mm]; every coordinate in the car's axes, Y + to the left.

    `measured` is None for a point that the car hasn't got yet, `proposed` for one that comes off.
    `within` is the point's own uncertainty. `move` is what the changes that are on come to.
    """

    key: str
    title: str
    measured: Vec | None
    within: float | None
    proposed: Vec | None
    move: Vec | None
    fate: Fate

    @property
    def is_right(self) -> bool:
        """Whether it is a right-hand point with data of its own."""
        return left_of(self.key) != self.key


def point_rows(study: Study[Any], is_stopped: bool = False) -> tuple[PointRow, ...]:
    """Return a row a point, in the order of the file format.

    Of a proposal that `is_stopped` there are moves, but no places.
    """
    rows = _rows(study.setup, study.system.points(study))
    return tuple(replace(row, proposed=None) if is_stopped else row for row in rows)


def _rows(setup: Setup, points: PointFacts) -> Iterator[PointRow]:
    for key, title in points.titles.items():
        measured, move = _measured(setup, key), points.moves.get(key)
        fate: Fate = "stays" if move is None else "moves"
        if key in points.gone:
            fate = "comes off"
        elif measured is None or key in points.new:
            fate = "new"
        within = widest(setup.within[key]) if key in setup.within else None
        proposed = None if key in points.gone else points.proposed.get(key, measured)
        yield PointRow(key, title, measured, within, proposed, move, fate)


def _measured(setup: Setup, key: str) -> Vec | None:
    """Return where a point was measured, or is the mirror of one; None for one that is new."""
    if key in setup.evidence:
        return cast(Vec, setup.evidence[key])
    left = setup.evidence.get(left_of(key))
    return None if left is None else mirrored(cast(Vec, left))
