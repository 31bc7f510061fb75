"""Every result by key, whichever axle has it: a key that no axle has is an error."""

from __future__ import annotations

from typing import Final

from geometry.catalogue.front import BY_KEY
from geometry.catalogue.rear import REAR_RESULTS
from geometry.catalogue.result import Result, by_key

KEYS: Final = frozenset((*BY_KEY, *REAR_RESULTS))


def result_of(results: tuple[Result, ...], key: str) -> Result | None:
    """Return one of an axle's results by its key, None where this axle hasn't it.

    Parameters
    ----------
    results
        What one axle can work out, each with its key.
    key
        A key of any axle's catalogue.

    Raises
    ------
    KeyError
        No axle has a result of that key.
    """
    if key not in KEYS:
        raise KeyError(f"no result is called {key!r}")
    return by_key(results).get(key)
