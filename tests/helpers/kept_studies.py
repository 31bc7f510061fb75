"""A study of a setup is solved once a process for all the tests of a room that asks for it again.

Setups and studies can't change, so that what is kept is what would be solved; the same goes for a
text that is read again. A room's tests share by importing the fixture into its conftest.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Any, Final

import pytest

from app.document import files
from app.document.reading import ParsedSetup, read_text
from app.systems.every import BY_KEY, LIMIT_KINDS
from app.systems.system import System

KEPT: Final = 256
_solve: Final = System.study


@lru_cache(KEPT)
def _study(key: str, setup: Any, ranges: Any, short: bool) -> Any:
    return _solve(BY_KEY[key], setup, ranges, short)


@lru_cache(KEPT)
def _read(text: str, name: str, partial: bool) -> ParsedSetup:
    return read_text(text, name, limit_kinds=LIMIT_KINDS, partial=partial)


def kept_study(system: System[Any], setup: Any, ranges: Any = None, short: bool = False) -> Any:
    """Stand in for `System.study`; a geometry that is refused is refused anew."""
    return _study(system.key, setup, ranges, short)


def _kept_reading(text: str, name: str = "setup", **options: Any) -> ParsedSetup:
    if options.get("limit_kinds") is not LIMIT_KINDS or set(options) - {"limit_kinds", "partial"}:
        return read_text(text, name, **options)
    return _read(text, name, options.get("partial", False))


def keep(patch: pytest.MonkeyPatch) -> None:
    """Keep studies and readings as long as a patch lasts."""
    patch.setattr(System, "study", kept_study)
    patch.setattr(files, "read_text", _kept_reading)


@pytest.fixture(scope="package", autouse=True)
def kept_studies() -> Iterator[None]:
    """Keep studies and readings while a room's tests run."""
    with pytest.MonkeyPatch.context() as patch:
        keep(patch)
        yield


@pytest.fixture
def solved_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep nothing for a test of what the program itself keeps."""
    monkeypatch.setattr(System, "study", _solve)
