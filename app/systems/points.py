"""What a table of points is made of: which points a system has, and what becomes of them. No Qt."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from app.document.model import Vec
from geometry.dataclass import dataclass


@dataclass(frozen=True)
class PointFacts:
    """The points of a system by setup key, in the order of the table.

    `titles` are as they stand in the table, `moves` what all changes that are on come to [mm],
    `proposed` the places in the proposal at rest [mm]. `new` and `gone` are points of a kind of
    axle that is only proposed, or only measured. `datum` is the point on the body that its holes
    are measured from where it stays put, with its name in a sentence. `on_axle` says that points on
    parts are measured from the axle's centre line, both ways at once.
    """

    titles: Mapping[str, str]
    moves: Mapping[str, Vec]
    proposed: Mapping[str, Vec]
    new: frozenset[str] = field(default=frozenset())
    gone: frozenset[str] = field(default=frozenset())
    datum: tuple[str, str] | None = None
    on_axle: bool = False
