"""The walk through a TOML text that finds where each value stands."""

from __future__ import annotations

import re
import tomllib
from typing import Final

from app.document.toml_layout import Path, Span, Statement, Table

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


class Walk:
    """A walk through a text from its first sign to its last."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.tables: list[Table] = []
        self.spans: dict[Path, Span] = {}
        self.entries: dict[Path, Statement] = {}  # those inside inline tables
        self.at = 0
        self.counts: dict[Path, int] = {}  # of the elements of arrays of tables so far

    def run(self) -> None:
        """Walk to the end."""
        table = Table((), Span(0, 0))
        self.tables.append(table)
        while self._skip(_BLANK) < len(self.text):
            if self.text[self.at] == "[":
                table = self._header()
                self.tables.append(table)
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
        self.spans[path] = span
        for length in range(1, len(path)):  # tables that a longer name implies
            self.spans.setdefault(path[:length], span)
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
            self.spans.setdefault(path[:length], Span(start, span.end))
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
        self.spans[path] = span
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
            self.entries[entry.path] = entry
        self.at += 1
