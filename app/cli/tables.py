"""Tables and paragraphs that fit a width: words wrap, figures never do."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from app.cli.terminal import Terminal
from app.document.plain_text import one_line

GAP: Final = "  "
NO_BREAK: Final = "\u00a0"  # between words that a head keeps on one line
_LEAST: Final = 16  # characters that a column of words keeps
_INDENT: Final = 6  # of words that stand under their row
_LINE: Final = 100  # a paragraph's longest line

Row = Sequence[str] | str


@dataclass(frozen=True)
class Column:
    """A column: its head (lines of it), and whether it holds words, which wrap, or figures."""

    head: str
    words: bool = False


@dataclass(frozen=True)
class Over:
    """A head over several columns."""

    text: str
    columns: int = 1


class Page:
    """Text that grows downwards."""

    def __init__(self, terminal: Terminal) -> None:
        self.terminal = terminal
        self._lines: list[str] = []

    def heading(self, text: str) -> None:
        """Add a heading after an empty line."""
        if self._lines:
            self._lines.append("")
        words = one_line(self.terminal.said(text))
        self._lines += map(self.terminal.heading, textwrap.wrap(words, self.terminal.width))

    def paragraph(self, text: str, mark: str = "", indent: str = "  ") -> None:
        """Add a paragraph, wrapped; what follows its mark is indented."""
        width = min(self.terminal.width, _LINE)
        first, indents = f"{indent}{mark}", f"{indent}{' ' * len(mark)}"
        self._lines += textwrap.wrap(
            self.terminal.said(text),
            width,
            initial_indent=first,
            subsequent_indent=indents,
            break_on_hyphens=False,
        ) or [first.rstrip()]

    def table(
        self, columns: Sequence[Column], rows: Sequence[Row], over: Sequence[Over] = ()
    ) -> None:
        """Add a table; a row that is one text is a heading across it."""
        rows = [row if isinstance(row, str) else [*map(self.terminal.said, row)] for row in rows]
        cells = [row for row in rows if not isinstance(row, str)]
        room = self.terminal.width
        widths = _widths(columns, cells, room)
        folds = columns[-1].words and len(columns) > 2 and _total(widths) > room
        if folds:  # too narrow: the last column's words stand under their row
            columns = columns[:-1]
            widths = _widths(columns, [row[:-1] for row in cells], room)
        elif _total(widths) > room and not over and len(columns) > 2:
            self._in_parts(columns, rows, widths)
            return
        over = [Over(self.terminal.said(head.text), head.columns) for head in over]
        columns = [Column(self.terminal.said(listed.head), listed.words) for listed in columns]
        self._lines += _over_lines(over, widths)
        heads = [column.head.split("\n") for column in columns]
        tall = max(map(len, heads))
        for place in range(tall):
            texts = [([""] * (tall - len(head)) + head)[place] for head in heads]
            if any(texts):
                self._lines.append(_line(columns, texts, widths))
        for row in rows:
            if isinstance(row, str):
                self._lines.append(self.terminal.heading(self.terminal.said(row)) if row else "")
            else:
                self._lines += _row_lines(columns, row[: len(columns)], widths)
                self._lines += _under(row[-1], room) if folds else []

    def _in_parts(
        self, columns: Sequence[Column], rows: Sequence[Row], widths: Sequence[int]
    ) -> None:
        """Add a table in two, each with the first column: its figures need more room."""
        count = len(columns) - 1
        while count > 2 and _total(widths[:count]) > self.terminal.width:
            count -= 1
        for part in (range(count), (0, *range(count, len(columns)))):
            self.table(
                [columns[place] for place in part],
                [row if isinstance(row, str) else [row[place] for place in part] for row in rows],
            )

    def text(self) -> str:
        """Return all of it."""
        return "\n".join(self._lines)


def _widths(columns: Sequence[Column], rows: Sequence[Sequence[str]], room: int) -> list[int]:
    """Return widths, at least 1: figures keep their width, words share the remainder."""
    widths = [
        max(1, _wide(column.head), *(len(row[place]) for row in rows))
        for place, column in enumerate(columns)
    ]
    words = [place for place, column in enumerate(columns) if column.words]
    over = _total(widths) - room
    for place in sorted(words, key=lambda column: -widths[column]):
        if over > 0:
            less = min(over, max(widths[place] - _LEAST, 0))
            widths[place] -= less
            over -= less
    return widths


def _total(widths: Sequence[int]) -> int:
    return sum(widths) + len(GAP) * (len(widths) - 1)


def _under(words: str, width: int) -> list[str]:
    """Return words as lines of their own under a row."""
    indent = " " * _INDENT
    return textwrap.wrap(words, width, initial_indent=indent, subsequent_indent=indent)


def _over_lines(over: Sequence[Over], widths: Sequence[int]) -> list[str]:
    """Lay heads over columns, wrapped to the room they have, the last line lowest."""
    cells, place = [], 0
    for head in over:
        room = sum(widths[place : place + head.columns]) + len(GAP) * (head.columns - 1)
        cells.append((textwrap.wrap(head.text, room, break_on_hyphens=False), room))
        place += head.columns
    tall = max((len(lines) for lines, _ in cells), default=0)
    filled = [([""] * (tall - len(lines)) + lines, room) for lines, room in cells]
    return [
        GAP.join(lines[place].rjust(room) for lines, room in filled).replace(NO_BREAK, " ").rstrip()
        for place in range(tall)
    ]


def _wide(head: str) -> int:
    return max(map(len, head.split("\n")))


def _row_lines(columns: Sequence[Column], row: Sequence[str], widths: Sequence[int]) -> list[str]:
    cells = [
        _wrapped(text, width) if column.words else [text]
        for column, text, width in zip(columns, row, widths, strict=True)
    ]
    tall = max(map(len, cells))
    filled = [cell + [""] * (tall - len(cell)) for cell in cells]
    return [_line(columns, [cell[place] for cell in filled], widths) for place in range(tall)]


def _wrapped(text: str, width: int) -> list[str]:
    """Wrap words; further lines of an indented text are indented by two more."""
    indent = text[: len(text) - len(text.lstrip())]
    lines = textwrap.wrap(
        text.strip(),
        width,
        initial_indent=indent,
        subsequent_indent=f"{indent}  ",
        break_on_hyphens=True,
    )
    return lines or [""]


def _line(columns: Sequence[Column], texts: Sequence[str], widths: Sequence[int]) -> str:
    cells = (
        text.ljust(width) if column.words else text.rjust(width)
        for column, text, width in zip(columns, texts, widths, strict=True)
    )
    return GAP.join(cells).rstrip()
