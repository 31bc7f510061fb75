"""What a result is: its names, its kind of quantity, what its signs mean, and who says so.

A *wheel* result has a value per wheel (arrays of shape (2, n)), an *axle* result one per pose
(n,), a *car* result one per study. Kinds are quantities: "length" is mm inside, "angle" rad,
"angle per length" rad/mm, "spring rate" N/mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Final, Literal

from geometry.dataclass import dataclass

Scope = Literal["wheel", "axle", "car"]
SpringKind = Literal["", "coil", "torsion bar"]

LEAST_SPANS: Final = {  # of an axis, by kind [inside units]
    "length": 4.0,
    "angle": 0.004,
    "angle per length": 2e-5,
    "length per length": 0.01,
    "percent": 2.0,
    "ratio": 0.02,
    "angle per angle": 0.02,
    "spring rate": 0.5,
    "force": 50.0,
    "torque": 1e4,
    "frequency": 0.05,
    "stress": 5.0,
    "torsional rate": 1e5,
}
"""Less would magnify what nobody can measure (common practice, no source)."""

CURVES_SHOWN: Final = 6  # to begin with, beside each other on the screen and on paper


@dataclass(frozen=True)
class Asked:
    """That a shop and an owner ask about a result first, and what more and less of it mean.

    Parameters
    ----------
    place
        Its place among those that are asked about.
    more, less
        What a greater and a smaller value mean; without words the value's sign says it.
    """

    place: int
    more: str = ""
    less: str = ""


@dataclass(frozen=True, eq=False, kw_only=True)
class Result:
    """One result: what it is called, what + means, what it is and who says so.

    Parameters
    ----------
    key
        Its name everywhere in code; with the kind's suffix its name in machine-readable output.
    title
        Words for people.
    short
        The title where room is scarce, with each word that changes the meaning; "" for the title.
    kind
        Kind of quantity, as in the setup's units.
    scope
        Per wheel, per axle or once.
    group
        Head under which panels and sheet show it.
    plus, minus
        What a positive and a negative value mean, in words.
    definition, formula, source
        What it is, in words; as a formula, "" where words are all; where that comes from.
    needs
        Setup keys without which it doesn't exist.
    decimals
        Digits after the point in mm and degrees.
    only_with
        The kind of the front's springs without which nobody asks for it.
    first
        Whether a specialist reads it first; the rest is folded away.
    plotted
        Its place among the curves to begin with, 0 for none.
    least_span
        Least span of an axis on which it is drawn [inside units]; 0 for its kind's.
    asked
        Whether a shop and an owner ask about it first.
    identity
        What a leaf and a link axle's result must share to be one result of both; "" for the key.
    sampled
        Whether its uncertainty is sampled, since a straight line is blind to it: a range, the most
        in travel, or a place that can go to infinity.
    """

    key: str
    title: str
    kind: str
    scope: Scope
    group: str
    plus: str = ""
    minus: str = ""
    definition: str
    formula: str = ""
    source: str
    needs: tuple[str, ...] = ()
    decimals: int = 2
    only_with: SpringKind = ""
    first: bool = False
    plotted: int = 0
    least_span: float = 0.0
    asked: Asked | None = None
    identity: str = ""
    short: str = ""
    sampled: bool = False

    def __post_init__(self) -> None:
        """Take from the kind and the key what isn't said."""
        object.__setattr__(self, "least_span", self.least_span or LEAST_SPANS[self.kind])
        object.__setattr__(self, "identity", self.identity or self.key)
        object.__setattr__(self, "short", self.short or self.title)


SUFFIX: Final = {
    "length": "_mm",
    "angle": "_deg",
    "angle per length": "_deg_per_mm",
    "length per length": "_mm_per_mm",
    "spring rate": "_n_per_mm",
    "force": "_n",
    "torque": "_n_m",
    "percent": "_percent",
    "frequency": "_hz",
    "ratio": "",
    "angle per angle": "",
    "stress": "_n_per_mm2",
    "torsional rate": "_n_m_per_deg",
}
"""Unit suffix of machine-readable names, by kind."""

ANGLES: Final = "Wheel angles"
MOVING: Final = "As the wheel moves"
CENTRES: Final = "Centres"
GROUND: Final = "On the ground"
LEANING: Final = "Body roll and steer"
SPRING: Final = "Spring and ride"
JOINTS: Final = "Joints"


def machine_name(result: Result) -> str:
    """Return the result's name with its unit, as in machine-readable output."""
    return result.key + SUFFIX[result.kind]


@lru_cache(maxsize=16)
def by_key(results: tuple[Result, ...]) -> Mapping[str, Result]:
    """Return results by their keys."""
    return {result.key: result for result in results}


def plotted_first(results: Iterable[Result]) -> tuple[Result, ...]:
    """Return the results whose curves are shown to begin with, in their order."""
    return tuple(sorted(filter(lambda each: each.plotted, results), key=lambda each: each.plotted))


def asked_first(results: Iterable[Result]) -> tuple[tuple[Result, Asked], ...]:
    """Return the results that are asked about first, in their order, with what they mean."""
    with_question = [(result, result.asked) for result in results if result.asked is not None]
    return tuple(sorted(with_question, key=lambda pair: pair[1].place))
