"""Which of many cases of a kind the suite always runs; the others run with `pytest --long`."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from typing import Any, Final

import pytest
from hypothesis import settings

LONG: Final = pytest.mark.long


def typical(cases: Iterable[Any], is_typical: Callable[[Any], bool]) -> list[Any]:
    """Mark the cases that aren't typical of their kind as `long`; a tuple is a case's values."""
    return [case if is_typical(case) else _long(case) for case in cases]


def typical_of(cases: Iterable[Any], kept: Collection[Any]) -> list[Any]:
    """Mark all cases but the kept ones as `long`; each kept one must be among them."""
    given = list(cases)
    assert all(case in given for case in kept), "a case that is kept isn't there"
    return typical(given, lambda case: case in kept)


def examples(few: int, many: int) -> int:
    """Return how many cases a property meets: few where they are always the same, else many."""
    return few if settings.default is not None and settings.default.derandomize else many


def _long(case: Any) -> Any:
    return pytest.param(*(case if isinstance(case, tuple) else (case,)), marks=LONG)
