"""What looks mistyped in a file: the same questions wherever a command reads one."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from app.document.doubts import Doubt, doubted_first, doubts
from app.document.files import SetupFaults, read_setup
from app.document.model import Setup
from app.limit_kinds import LIMIT_KINDS


def doubts_of(setup: Setup, path: Path, axles: Iterable[str] = ("front", "rear")) -> list[Doubt]:
    """Return what looks mistyped of these ends and the whole car, in a setup read from a file."""
    try:
        found = doubts(setup, read_setup(path, limit_kinds=LIMIT_KINDS))
    except SetupFaults:  # gone or changed since it was read: no lines
        found = doubts(setup)
    others = tuple(f"{axle}." for axle in {"front", "rear"} - set(axles))
    return [doubt for doubt in found if not doubt.question.key.startswith(others)]


def blamed(words: str, setup: Setup, path: Path, axle: str) -> str:
    """Return why an end can't be built, with what looks mistyped there named first."""
    return doubted_first(words, doubts_of(setup, path, (axle,)), setup)
