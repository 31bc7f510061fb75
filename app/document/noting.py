"""Faults of what is typed in fields: noted by path, as sentences, instead of by a file's lines."""

from __future__ import annotations

from collections.abc import Mapping

from app.document.checks import Checker
from app.document.model import Units
from app.document.toml_layout import Layout, Path


class Noting(Checker):
    """Notes faults by path; `plain` has better words for what a fault expects in a file."""

    def __init__(self, units: Units, plain: Mapping[str, str]) -> None:
        super().__init__("", Layout(""), units)
        self.plain = plain
        self.notes: list[tuple[Path, str]] = []

    def fault(self, path: Path, found: str, expected: str, hint: str = "") -> None:
        """Note what is wrong at a path."""
        super().fault(path, found, expected, hint)
        told = f"{found}; expected {expected}." if expected else f"{found}."
        words = self.plain.get(expected) or self.plain.get(found) or told
        self.notes.append((path, words[:1].upper() + words[1:]))
