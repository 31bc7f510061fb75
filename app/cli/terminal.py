"""Where text goes: how wide it is, whether it can show bold, and which characters it knows."""

from __future__ import annotations

import json
import os
import shutil
import sys
from dataclasses import dataclass
from typing import Final, TextIO

_NARROWEST: Final = 60
_WIDEST: Final = 120  # wider lines can't be read across
_PIPE: Final = 80
_PLAIN: Final = str.maketrans(
    {
        "−": "-",
        "–": "-",
        "—": "-",
        "°": " deg",
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
    """What a stream can show."""

    width: int
    bold: bool = False

    def heading(self, text: str) -> str:
        """Return a heading as this stream shows one."""
        return f"\033[1m{text}\033[0m" if self.bold else text


def terminal_of(stream: TextIO) -> Terminal:
    """Return what a stream can show; a pipe or a file gets plain text."""
    shown = stream.isatty()
    width = shutil.get_terminal_size((_PIPE, 24)).columns if shown else _asked_width()
    plain = bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM") in (None, "", "dumb")
    return Terminal(min(max(width, _NARROWEST), _WIDEST), shown and not plain)


def _asked_width() -> int:
    asked = os.environ.get("COLUMNS", "")
    return int(asked) if asked.isdecimal() and int(asked) else _PIPE


def write_text(text: str, stream: TextIO | None = None) -> None:
    """Write text to a stream (standard output), in characters that it knows."""
    stream = stream or sys.stdout
    line = f"{text}\n"
    encoding = stream.encoding or "ascii"
    try:
        line.encode(encoding)
    except UnicodeEncodeError:
        line = line.translate(_PLAIN).encode(encoding, "replace").decode(encoding)
    stream.write(line)


def write_json(value: object) -> None:
    """Write one JSON object to standard output, readable in any encoding."""
    utf8 = (sys.stdout.encoding or "").lower().replace("-", "") == "utf8"
    write_text(json.dumps(value, ensure_ascii=not utf8, allow_nan=False, indent=1))
