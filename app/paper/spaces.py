"""Spaces in a PDF's text that are spaces when it is searched or copied.

Qt names each glyph by the first character that has it. Some fonts give a tab the glyph of a space,
so every space of the text would come out as a tab. The tables of names are put right in place.
"""

from __future__ import annotations

import re
from typing import Final

_TABLE: Final = re.compile(rb"beginbfrange\n.*?endbfrange", re.DOTALL)
_NAMES: Final = re.compile(rb"\[[^\]]*\]|(?:<[0-9A-F]{4}> ){2}<0009>")  # of a range of glyphs
_TAB: Final = b"<0009>"
_SPACE: Final = b"<0020>"


def with_plain_spaces(pdf: bytes) -> bytes:
    """Return a PDF of the same length in which a space is called a space."""
    return _TABLE.sub(lambda table: _NAMES.sub(_renamed, table.group()), pdf)


def _renamed(names: re.Match[bytes]) -> bytes:
    listed = names.group()
    if listed.startswith(b"["):
        return listed.replace(_TAB, _SPACE)
    return listed.removesuffix(_TAB) + _SPACE
