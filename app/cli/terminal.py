"""Where text goes: how wide it is, whether it can show bold, and which characters it knows."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Mapping
from math import isfinite
from typing import Final, TextIO

from app.document.plain_text import printable
from geometry.dataclass import dataclass

_NARROWEST: Final = 60
_WIDEST: Final = 120  # wider lines can't be read across
_PIPE: Final = 80
_PLAIN: Final = str.maketrans(
    {
        "−": "-",
        "–": "-",
        "—": "-",
        "°": "deg",
        "·": ".",
        "≤": "<=",
        "≥": ">=",
        "±": "+/-",
        "“": '"',
        "”": '"',
        "’": "'",
        "…": "...",
        "²": "2",
    }
)


@dataclass(frozen=True)
class Terminal:
    """What a stream can show: its width, bold, and whether only the plainest characters."""

    width: int
    bold: bool = False
    plain: bool = False

    def heading(self, text: str) -> str:
        """Return a heading as this stream shows one."""
        return f"\033[1m{text}\033[0m" if self.bold else text

    def said(self, text: str) -> str:
        """Return text in characters that this stream knows, none of which it obeys."""
        text = printable(text)
        return text.translate(_PLAIN) if self.plain else text


def terminal_of(stream: TextIO | None) -> Terminal:
    """Return what a stream can show; a pipe or a file gets text without bold."""
    if stream is None:  # closed by whoever started the program
        return Terminal(_asked_width())
    shown = stream.isatty()
    width = shutil.get_terminal_size((_PIPE, 24)).columns if shown else _asked_width()
    dull = bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM") in (None, "", "dumb")
    size = min(max(width, _NARROWEST), _WIDEST)
    return Terminal(size, shown and not dull, not _knows("−°±≤", stream))


def write_text(text: str, stream: TextIO | None = None, laid_out: bool = False) -> None:
    """Write text to a stream (standard output), in characters that it knows.

    None of them is one that the stream obeys, but for those of a text that was laid out for it.
    """
    stream = stream or sys.stdout
    if stream is None:  # closed by whoever started the program: there is nobody to tell
        return
    line = f"{text if laid_out else printable(text)}\n"
    if not _knows(line, stream):
        encoding = stream.encoding or "ascii"
        line = line.translate(_PLAIN).encode(encoding, "replace").decode(encoding)
    stream.write(line)


def write_json(value: object) -> None:
    """Write one JSON object to standard output, readable in any encoding.

    A number that is none, or infinite, doesn't exist there: it is null.
    """
    plain = not _knows("−", sys.stdout)
    import json  # only here: each start loads this file

    write_text(json.dumps(_finite(value), ensure_ascii=plain, allow_nan=False, indent=1))


def _finite(value: object) -> object:
    if isinstance(value, float):
        return value if isfinite(value) else None
    if isinstance(value, Mapping):
        return {key: _finite(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(item) for item in value]
    return value


def _knows(text: str, stream: TextIO | None) -> bool:
    try:
        text.encode(getattr(stream, "encoding", None) or "ascii")
    except UnicodeEncodeError:
        return False
    return True


def _asked_width() -> int:
    stated_width = os.environ.get("COLUMNS", "")
    return int(stated_width) if stated_width.isdecimal() and int(stated_width) else _PIPE
