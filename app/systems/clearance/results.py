"""A clearance as a result: its key, its title and what it is, for lists that show results."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, Final

from app.document.clearances import Clearance
from app.document.ends import END
from app.document.model import Limit, Setup
from app.document.plain_text import upper_first
from app.systems.answers import Study
from geometry.catalogue.result import Result

CLEARANCES: Final = "Clearances"
_START: Final = "clearance "


def title_of(clearance: Clearance) -> str:
    """Return what a clearance is called: "Tyre to inner wing"."""
    first, second = clearance.between
    return upper_first(f"{first} to {second}")


def key_of_clearance(clearance: Clearance) -> str:
    """Return the key under which a clearance stands among results."""
    return f"{_START}{' '.join(clearance.between)}"


def is_clearance(key: str) -> bool:
    """Tell whether a result's key is that of a clearance."""
    return key.startswith(_START)


@lru_cache(maxsize=64)
def clearance_result(clearance: Clearance) -> Result:
    """Return a clearance as a result."""
    first, second = clearance.between
    return Result(
        key=key_of_clearance(clearance),
        title=title_of(clearance),
        kind="length",
        scope="car",
        group=CLEARANCES,
        definition=(
            f"The least distance between {first} and {second}, {END[clearance.end].poses}, on the "
            "nearer side; 0 where they touch, however deep. On the drawing stands what is free in "
            "the pose shown."
        ),
        source="geometry: the least distance of two convex bodies",
        decimals=1,
        first=True,
    )


def clearance_results(study: Study[Any]) -> tuple[Result, ...]:
    """Return the clearances of a study's end as results."""
    return tuple(map(clearance_result, own_clearances(study.setup, study.system.key)))


def own_clearances(setup: Setup, end: str) -> tuple[Clearance, ...]:
    """Return the clearances of an end of the car, in the order of the file."""
    return tuple(each for each in setup.clearances if each.end == end)


def clearance_named(setup: Setup, end: str, key: str) -> Clearance | None:
    """Return the clearance that stands under a key among the results of an end."""
    own = own_clearances(setup, end)
    return next((each for each in own if key_of_clearance(each) == key), None)


def limit_of(clearance: Clearance) -> Limit | None:
    """Return what is asked of a clearance as a limit, None where nothing is."""
    if clearance.at_least is None:
        return None
    return Limit(clearance.at_least, None, "length", clearance.by)
