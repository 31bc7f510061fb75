"""Where each value stands in the text of a TOML file that the standard library has accepted.

The standard reader gives values without places. This walks the text once more: faults get their
line, and saving puts new values exactly where the old ones were. The text is known to be valid,
so nothing is checked here.
"""

from __future__ import annotations

import dataclasses
import re
import tomllib
from bisect import bisect_right
from dataclasses import field
from typing import Final

from geometry.dataclass import dataclass

Part = str | int
Path = tuple[Part, ...]

_SPACE: Final = re.compile(r"[ \t]*")
_BLANK: Final = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BARE_KEY: Final = re.compile(r"[A-Za-z0-9_-]+")
_STRING: Final = re.compile(
    r'"""(?:[^"\\]|\\.|"(?!"")|""(?!"))*"{3,5}'
    r"|'''(?:[^']|'(?!'')|''(?!'))*'{3,5}"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'",
    re.DOTALL,
)
_SCALAR: Final = re.compile(r"\d{4}-\d\d-\d\d \d\d:[^\s,\]}#]*|[^\s,\]}#]+")


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


@dataclasses.dataclass(slots=True)
class Table:
    """A header and the statements under it; the first table of a file has no header."""

    path: Path
    header: Span
    statements: list[Statement] = field(default_factory=list)


class Layout:
    """The tables of a text, and the span of every value by its path."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.tables: list[Table] = []
        self.spans: dict[Path, Span] = {}
        self.entries: dict[Path, Statement] = {}  # those inside inline tables
        self._starts = [0, *(match.end() for match in re.finditer("\n", text))]
        _Walk(self).run()

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


class _Walk:
    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.text = layout.text
        self.at = 0
        self.counts: dict[Path, int] = {}  # of the elements of arrays of tables so far

    def run(self) -> None:
        table = Table((), Span(0, 0))
        self.layout.tables.append(table)
        while self._skip(_BLANK) < len(self.text):
            if self.text[self.at] == "[":
                table = self._header()
                self.layout.tables.append(table)
            else:
                table.statements.append(self._statement(table.path))

    def _skip(self, pattern: re.Pattern[str]) -> int:
        match = pattern.match(self.text, self.at)
        self.at = match.end() if match else self.at
        return self.at

    def _header(self) -> Table:
        start = self.at
        is_array = self.text.startswith("[[", start)
        self.at += 2 if is_array else 1
        *parents, last = self._key()
        path = (*self._resolve(tuple(parents)), last)
        if is_array:
            self.counts[path] = self.counts.get(path, -1) + 1
        path = self._resolve(path, known_parents=True)
        self._skip(_SPACE)
        self.at += 2 if is_array else 1
        span = Span(start, self.at)
        self.layout.spans[path] = span
        for length in range(1, len(path)):  # tables that a longer name implies
            self.layout.spans.setdefault(path[:length], span)
        return Table(path, span)

    def _resolve(self, names: Path, known_parents: bool = False) -> Path:
        """Return the path with the index of the latest element after each array of tables."""
        path: Path = names[:-1] if known_parents else ()
        for name in names[-1:] if known_parents else names:
            path = (*path, name)
            if path in self.counts:
                path = (*path, self.counts[path])
        return path

    def _key(self) -> tuple[str, ...]:
        parts: list[str] = []
        while True:
            self._skip(_SPACE)
            parts.append(self._key_part())
            self._skip(_SPACE)
            if self.text[self.at] != ".":
                return tuple(parts)
            self.at += 1

    def _key_part(self) -> str:
        start = self.at
        if self.text[start] in "\"'":
            raw = self.text[start : self._skip(_STRING)]
            return str(tomllib.loads(f"k = {raw}")["k"]) if "\\" in raw else raw[1:-1]
        return self.text[start : self._skip(_BARE_KEY)]

    def _statement(self, above: Path) -> Statement:
        start = self.at
        path = (*above, *self._key())
        equals = self.at
        self.at += 1
        self._skip(_SPACE)
        span = self._value(path)
        for length in range(len(above) + 1, len(path)):
            self.layout.spans.setdefault(path[:length], Span(start, span.end))
        return Statement(path, start, equals, span)

    def _value(self, path: Path) -> Span:
        start = self.at
        opening = self.text[start]
        if opening == "[":
            self._array(path)
        elif opening == "{":
            self._inline_table(path)
        else:
            self._skip(_STRING if opening in "\"'" else _SCALAR)
        span = Span(start, self.at)
        self.layout.spans[path] = span
        return span

    def _array(self, path: Path) -> None:
        self.at += 1
        index = 0
        while self.text[self._skip(_BLANK)] != "]":
            if self.text[self.at] == ",":
                self.at += 1
                continue
            self._value((*path, index))
            index += 1
        self.at += 1

    def _inline_table(self, path: Path) -> None:
        self.at += 1
        while self.text[self._skip(_BLANK)] != "}":
            if self.text[self.at] == ",":
                self.at += 1
                continue
            entry = self._statement(path)
            self.layout.entries[entry.path] = entry
        self.at += 1
