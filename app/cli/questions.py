"""What looks mistyped in a file: the same questions wherever a command reads one."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from app.document.doubts import Doubt, doubted_first, doubts
from app.document.ends import ENDS
from app.document.files import LoadedSetup, SetupFaults, read_setup
from app.document.model import Setup
from app.document.named_lines import place_words, places_of
from app.systems.every import LIMIT_KINDS
from app.words.errors import error_addresses, geometry_words
from geometry.errors import GeometryError


def doubts_of(setup: Setup, path: Path, axles: Iterable[str] = ENDS) -> list[Doubt]:
    """Return what looks mistyped of these ends and the whole car, in a setup read from a file."""
    all_doubts = doubts(setup, _again(path))
    others = tuple(f"{end}." for end in set(ENDS) - set(axles))
    return [doubt for doubt in all_doubts if not doubt.question.key.startswith(others)]


def unbuilt_words(what: str, error: GeometryError, setup: Setup, path: Path, axle: str) -> str:
    """Say why an end can't be built, with line numbers; values that look mistyped come first."""
    places = places_of(error_addresses(error), setup, _again(path))
    why = doubted_first(
        geometry_words(error, setup.units, evidence=setup.evidence),
        doubts_of(setup, path, (axle,)),
        setup,
    )
    if not places:
        return f"{path.name}: {what} {why}"
    (line, key), *others = sorted(places)
    also = f" See also {place_words(others)}." if others else ""
    return f"{path.name}, line {line}: {key}: {what} {why}{also}"


def _again(path: Path) -> LoadedSetup | None:
    """Return the file as read again; None if it is missing or has changed since."""
    try:
        return read_setup(path, limit_kinds=LIMIT_KINDS)
    except SetupFaults:
        return None
