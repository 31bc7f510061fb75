"""Edits of a TOML text that touch nothing but what they are about."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final

from app.document.toml_layout import Layout, Path, Span, Statement, Table
from app.document.toml_text import key_text

_REMARK_GAP: Final = re.compile(r"[ \t]{2,}(?=#)")
_BLANK_LINE: Final = re.compile(r"\n(\r?\n)\Z")
_ATTACHED: Final = re.compile(r"[ \t]*#[^\n]*\n")


class TextEdits:
    """A text being edited: values replaced, statements put in and taken out, blocks moved."""

    def __init__(self, text: str, keeps_style: bool = True) -> None:
        self.keeps_style = keeps_style
        self.newline = "\r\n" if "\r\n" in text else "\n"
        self._waiting: dict[Span, str] = {}
        self._read(text)

    def _read(self, text: str) -> None:
        self._text = text
        self._layout = Layout(text)
        self._paths = {_joined(path): path for path in self._layout.spans}

    @property
    def text(self) -> str:
        """Return the text with every edit made."""
        self._make_replacements()
        return self._text

    def has(self, path: Path) -> bool:
        """Tell whether the text gives something at a path."""
        return path in self._paths

    def at(self, path: Path) -> str:
        """Return the text of the value at a path."""
        span = self._span(path)
        return self._text[span.start : span.end]

    def style_at(self, path: Path) -> str:
        """Return the text whose style a new value takes: none when every number is new."""
        return self.at(path) if self.keeps_style else ""

    def is_block(self, path: Path) -> bool:
        """Tell whether a path is a table or an array of tables with headers of its own."""
        real = self._paths.get(path, path)
        return any(table.path[: len(real)] == real for table in self._layout.tables[1:])

    def replace(self, path: Path, new: str) -> None:
        """Put a new text in the place of a value."""
        self._waiting[self._span(path)] = new

    def insert(self, table: Path, name: str, value: str, order: Sequence[str] = ()) -> None:
        """Put a new `name = value` into a table, after those that come before it in `order`."""
        self._make_replacements()
        line = f"{key_text(name)} = {value}"
        block = self._table(table)
        if block is not None:
            self._insert_statement(block, name, value, order)
        elif table in self._paths and self.at(table).startswith("{"):
            self._insert_entry(table, line)
        elif statements := list(self._dotted(table)):
            owner, last = statements[-1]
            dotted = [key_text(str(part)) for part in (*table, name)[len(owner.path) :]]
            self._insert_after(last, f"{'.'.join(dotted)} = {value}")
        elif len(table) > 1 and table[:-1] in self._paths and self.at(table[:-1])[0] == "{":
            self._insert_entry(table[:-1], f"{key_text(str(table[-1]))} = {{ {line} }}")
        else:
            names = [key_text(part) for part in table if isinstance(part, str)]
            self._insert_block(table, f"[{'.'.join(names)}]\n{line}\n")

    def remove(self, path: Path) -> None:
        """Take out what a path gives, with the remark behind it."""
        self._make_replacements()
        real = self._paths[path]
        if real in self._layout.entries:
            self._remove_entry(self._layout.entries[real])
            return
        lines = [s for t in self._layout.tables for s in t.statements]
        spans = [self._lines(s) for s in lines if s.path[: len(real)] == real]
        regions = self._regions()
        spans += [r for r, t in regions if t.path[: len(real)] == real]
        for span in sorted(set(spans), key=lambda span: -span.start):
            self._splice(span.start, span.end, "", read=False)
        self._read(self._text)

    def remove_if_empty(self, table: Path) -> None:
        """Take out a table's header when neither a value nor a remark is left under it.

        One in braces with nothing between them goes with its name.
        """
        self._make_replacements()
        if self.has(table) and re.fullmatch(r"\{\s*\}", self.at(table)):
            self.remove(table)
            return
        for region, block in self._regions():
            text = self._text[region.start : region.end]
            if block.path == self._paths.get(table) and not block.statements and block.path:
                body = text[block.header.end - region.start :]
                if not body.strip() and region.start == self._layout.line_start(block.header.start):
                    self._remove_header(region.start, self._layout.line_end(block.header.end))
                return

    def _remove_header(self, start: int, end: int) -> None:
        """Take out a header's line, and the blank line before it where there is one after it too.

        A table that is put in and taken out again and again would leave one each time.
        """
        blank = _BLANK_LINE.search(self._text[:start])
        rest = self._text[end:]
        if blank and (not rest or rest.startswith(("\n", "\r\n"))):
            start = blank.start(1)
        self._splice(start, end, "")

    def rearrange(self, array: Path, sources: Sequence[int | None], fresh: Sequence[str]) -> None:
        """Put the blocks of an array of tables into a new order.

        `sources` gives for each place the number of the block that goes there, or none for the
        new text in `fresh` at the same place.
        """
        self._make_replacements()
        if self.has(array) and not self.is_block(array):
            self.remove(array)
            sources = [None] * len(sources)
        regions = self._regions()
        mine = [i for i, (_, table) in enumerate(regions) if table.path[: len(array)] == array]
        first = mine[0] if mine else len(regions)
        other_pieces = [self._piece(regions[i][0]) for i in range(len(regions)) if i not in mine]
        blocks: dict[int, str] = {}
        for i in mine:
            number = int(regions[i][1].path[len(array)])
            blocks[number] = blocks.get(number, "") + self._piece(regions[i][0])
        pieces = [fresh[i] if n is None else blocks[n] for i, n in enumerate(sources)]
        ending = self._text[len(self._text.rstrip()) :]
        around = ["".join(other_pieces[:first]), "".join(other_pieces[first:])]
        whole = _joined_pieces([around[0], *pieces, around[1]])
        self._read(self._ends_of(whole.rstrip() + (ending or "\n")))

    # --- one statement ------------------------------------------------------------------------

    def _insert_statement(self, block: Table, name: str, value: str, order: Sequence[str]) -> None:
        names = [str(s.path[len(block.path)]) for s in block.statements]
        before = order[: order.index(name)] if name in order else order
        earlier = [s for s, n in zip(block.statements, names, strict=True) if n in before]
        columns = {s.equals - self._layout.line_start(s.start) for s in block.statements}
        width = columns.pop() - 1 if len(columns) == 1 and len(block.statements) > 1 else 0
        line = f"{key_text(name).ljust(width)} = {value}"
        if earlier or (block.statements and name not in order):
            self._insert_after((earlier or block.statements)[-1], line)
        else:
            at = self._layout.line_end(block.header.end) if block.path else 0
            self._insert_line(at, line)

    def _insert_after(self, statement: Statement, line: str) -> None:
        start = self._layout.line_start(statement.start)
        indent = self._text[start : statement.start]
        self._insert_line(self._layout.line_end(statement.value.end - 1), indent + line)

    def _insert_line(self, at: int, line: str) -> None:
        broken = at > 0 and self._text[at - 1] != "\n"  # the last line of a file may lack its end
        self._splice(at, at, f"\n{line}" if broken else f"{line}\n")

    def _lines(self, statement: Statement) -> Span:
        start = self._layout.line_start(statement.start)
        return Span(start, self._layout.line_end(statement.value.end - 1))

    def _dotted(self, path: Path) -> Iterator[tuple[Table, Statement]]:
        """Return the statements that give something under a path by dotted keys."""
        for table in self._layout.tables:
            for statement in table.statements if len(table.path) <= len(path) else ():
                if _joined(statement.path)[: len(path)] == path:
                    yield table, statement

    # --- entries of inline tables -------------------------------------------------------------

    def _insert_entry(self, table: Path, line: str) -> None:
        span = self._span(table)
        inside = self._text[span.start + 1 : span.end - 1]
        new = f"{{{inside.rstrip()}, {line} }}" if inside.strip() else f"{{ {line} }}"
        self._splice(span.start, span.end, new)

    def _remove_entry(self, entry: Statement) -> None:
        before = self._text[: entry.start].rstrip(" \t")
        if before.endswith(","):
            self._splice(len(before) - 1, entry.value.end, "")
            return
        after = re.compile(r"[ \t]*,?[ \t]*").match(self._text, entry.value.end)
        self._splice(entry.start, after.end() if after else entry.value.end, "")

    # --- blocks -------------------------------------------------------------------------------

    def _table(self, path: Path) -> Table | None:
        real = self._paths.get(path, path)
        return next((table for table in self._layout.tables if table.path == real), None)

    def _insert_block(self, table: Path, block: str) -> None:
        """Put a new table after those it belongs to, or before the changes."""
        regions = self._regions()
        mine = [r.end for r, t in regions if t.path and t.path[:2] == table[:2]]
        mine = mine or [r.end for r, t in regions if t.path and t.path[:1] == table[:1]]
        changes = [r.start for r, t in regions if t.path[:1] == ("change",)]
        at = mine[-1] if mine else (changes[0] if changes else len(self._text))
        in_change = table[:1] == ("change",)
        before = self._text[:at].rstrip() + ("\n" if in_change else "\n\n")
        after = self._text[at:]
        gap = "\n" if after.strip() else ""
        self._read(self._ends_of(before + block + gap + after))

    def _regions(self) -> list[tuple[Span, Table]]:
        """Return each table's stretch of text, with the remarks right above its header."""
        tables = self._layout.tables
        starts = [0] + [self._block_start(table) for table in tables[1:]]
        ends = [*starts[1:], len(self._text)]
        return [
            (Span(*ab), t) for ab, t in zip(zip(starts, ends, strict=True), tables, strict=True)
        ]

    def _block_start(self, table: Table) -> int:
        start = self._layout.line_start(table.header.start)
        while start > 0:
            above = self._layout.line_start(start - 1)
            if not _ATTACHED.fullmatch(self._text, above, start):
                break
            start = above
        return start

    def _piece(self, region: Span) -> str:
        return self._text[region.start : region.end]

    # --- the text itself ----------------------------------------------------------------------

    def _span(self, path: Path) -> Span:
        return self._layout.spans[self._paths[path]]

    def _make_replacements(self) -> None:
        waiting, self._waiting = self._waiting, {}
        if not waiting:
            return
        waiting |= self._remark_gaps(waiting)
        for span in sorted(waiting, key=lambda span: -span.start):
            self._splice(span.start, span.end, waiting[span], read=False)
        self._read(self._text)

    def _remark_gaps(self, waiting: dict[Span, str]) -> dict[Span, str]:
        """Return the gaps before remarks that keep the remarks in their column."""
        gaps: dict[Span, str] = {}
        for statement in (s for t in self._layout.tables for s in t.statements):
            value = statement.value
            mine = [s for s in waiting if value.start <= s.start and s.end <= value.end]
            gap = _REMARK_GAP.match(self._text, value.end)
            if mine and gap and not any("\n" in waiting[s] for s in mine):
                longer = sum(len(waiting[s]) - (s.end - s.start) for s in mine)
                gaps[Span(*gap.span())] = " " * max(2, len(gap[0]) - longer)
        return gaps

    def _splice(self, start: int, end: int, new: str, read: bool = True) -> None:
        text = self._text[:start] + self._ends_of(new) + self._text[end:]
        if read:
            self._read(text)
        else:
            self._text = text

    def _ends_of(self, text: str) -> str:
        """Return text with the line ends of the file."""
        return text if self.newline == "\n" else re.sub(r"(?<!\r)\n", "\r\n", text)


def _joined(path: Path) -> Path:
    """Return the path with a change's dotted keys as one: front, upper_ball is front.upper_ball."""
    if len(path) < 4 or path[0] != "change" or path[2] not in ("move", "set"):
        return path
    end = next((i for i, part in enumerate(path[3:], 3) if isinstance(part, int)), len(path))
    return (*path[:3], ".".join(map(str, path[3:end])), *path[end:])


def _joined_pieces(pieces: Sequence[str]) -> str:
    """Return blocks one after another, a blank line between them where there is none."""
    text = ""
    for piece in filter(None, pieces):
        if text and not text.endswith("\n"):
            text += "\n"
        blank = not text or text.rstrip(" \t\r").endswith("\n\n") or text.endswith("\n\r\n")
        text += piece if blank else f"\n{piece}"
    return text
