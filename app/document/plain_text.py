"""Text as it can be shown anywhere: nothing in the user's acts, nothing in it hides.

A title, a note or a file's name may hold characters that a terminal obeys, that turn the order of
what follows round, that can't be seen, or that no XML may hold. Each is shown as a sign instead.
"""

from __future__ import annotations

import unicodedata
from typing import Final

UNKNOWN: Final = "\N{REPLACEMENT CHARACTER}"
_BREAKS: Final = ("\r\n", "\r", "\x0b", "\x0c", "\x85", "\u2028", "\u2029")


def printable(text: str) -> str:
    """Return a text in which only line breaks and tabs are more than what is seen."""
    if text.isprintable():
        return text
    for line_break in _BREAKS:
        text = text.replace(line_break, "\n")
    signs = {ord(each): UNKNOWN for each in set(text) if not _is_seen(each)}
    return text.translate(signs) if signs else text


def one_line(text: str) -> str:
    """Return a text in one line, in which nothing is more than what is seen."""
    return text if text.isprintable() else printable(text).replace("\n", " ").replace("\t", " ")


def lower_first(words: str) -> str:
    """Return words as they stand inside a sentence, their first letter made small."""
    return words[:1].lower() + words[1:]


def upper_first(words: str) -> str:
    """Return words as they begin a sentence."""
    return words[:1].upper() + words[1:]


def _is_seen(character: str) -> bool:
    """Tell whether a character neither acts nor hides."""
    if character in "\n\t" or character.isprintable():
        return True
    hides = unicodedata.category(character) in ("Cc", "Cf", "Cs")  # control, format, surrogate
    return not (hides or _is_no_character(character))


def _is_no_character(character: str) -> bool:
    """Tell whether Unicode keeps a code from ever being a character; XML forbids two of them."""
    code = ord(character)
    return code & 0xFFFE == 0xFFFE or 0xFDD0 <= code <= 0xFDEF
