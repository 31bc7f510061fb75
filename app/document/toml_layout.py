"""Where each value stands in the text of a TOML file that the standard library has accepted.

The standard reader gives values without places. This walks the text once more: faults get their
line, and saving puts new values exactly where the old ones were. The text is known to be valid,
so nothing is checked here.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import field
from functools import cached_property
from typing import TYPE_CHECKING

from geometry.dataclass import dataclass

if TYPE_CHECKING:
    from app.document.toml_walk import Walk

Part = str | int
Path = tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of the text."""

    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Statement:
    """One `key = value`, at its offsets; the path is from the file's top."""

    path: Path
    start: int
    equals: int
    value: Span


@dataclass(frozen=False, slots=True)
class Table:
    """A header and the statements under it; the first table of a file has no header."""

    path: Path
    header: Span
    statements: list[Statement] = field(default_factory=list)


class Layout:
    """The tables of a text, and the span of every value by its path."""

    def __init__(self, text: str) -> None:
        self.text = text

    @property
    def tables(self) -> list[Table]:
        """The tables in the order of the text."""
        return self._walk.tables

    @property
    def spans(self) -> dict[Path, Span]:
        """The span of each value and each table's header, by its path."""
        return self._walk.spans

    @property
    def entries(self) -> dict[Path, Statement]:
        """What stands inside inline tables, by its path."""
        return self._walk.entries

    @cached_property
    def _walk(self) -> Walk:
        """Walk the text when first asked: one without faults is read without."""
        from app.document.toml_walk import Walk

        walk = Walk(self.text)
        walk.run()
        return walk

    @cached_property
    def _starts(self) -> list[int]:
        return [0, *(match.end() for match in re.finditer("\n", self.text))]

    def line(self, offset: int) -> int:
        """Return the line number, from 1, of an offset."""
        return bisect_right(self._starts, offset)

    def line_of(self, path: Path) -> int:
        """Return the line of a value, or of the nearest table that is there."""
        while path and path not in self.spans:
            path = path[:-1]
        return self.line(self.spans[path].start) if path else 1

    def line_start(self, offset: int) -> int:
        """Return the offset at which the line of an offset begins."""
        return self._starts[self.line(offset) - 1]

    def line_end(self, offset: int) -> int:
        """Return the offset after the line of an offset, its line end included."""
        line = self.line(offset)
        return self._starts[line] if line < len(self._starts) else len(self.text)
