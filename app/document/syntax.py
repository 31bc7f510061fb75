"""What is wrong with a text that is no TOML, in plain words with line and column."""

from __future__ import annotations

import re
from typing import Final

from app.document.faults import Fault

_PLACE: Final = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_PLAIN: Final = (  # what the standard reader says: found, expected
    ("Expected '=' after a key", "a name without =", "name = value, or a table's [name]"),
    ("Expected newline or end", "something left over after the value", "one value on a line"),
    ("Invalid value", "this is no value", 'a number, "text", true, false or a list [ ]'),
    ("Unclosed array", "a list that isn't closed", "] at its end"),
    ("Unclosed inline table", "a table that isn't closed", "} at its end"),
    ("Unterminated string", "a text that isn't closed", 'a " at its end'),
    ("Cannot overwrite a value", "this name is given twice", "each name once"),
    ("Duplicate inline table key", "this name is given twice", "each name once"),
    ("Cannot declare", "this table is given twice", "each table once"),
    ("Cannot mutate immutable", "this adds to a value that is whole already", "each name once"),
    ("Cannot redefine namespace", "this name is given twice", "each name once"),
    ("Cannot add", "this adds to a table that is closed already", "each table once"),
    ("Expected ']'", "a table's name that isn't closed", "] after it"),
    ("Illegal character", "a character that can't stand here", "text in one line, in quotes"),
    ("Found invalid character", "a character that can't stand here", "plain text"),
    ("Unescaped '\\'", "a backslash that means nothing here", "\\\\ for a backslash in a text"),
    ("Invalid initial character for a key", "a name can't begin so", "name = value"),
    ("Invalid statement", "this is no name, table or comment", "name = value, [table] or # remark"),
    ("Invalid date or datetime", "this is no date of the calendar", "a date, as 2024-05-31"),
    ("Invalid hex value", "a character code that means nothing", "\\u and four digits"),
    ("Escaped character is not", "a character code that means nothing", "\\u and four digits"),
)
_COMMA: Final = re.compile(r"=\s*[+-]?\d+,\d")


def syntax_fault(file: str, text: str, error: Exception) -> Fault:
    """Return the fault for what stopped the standard reader."""
    words = str(error)
    place = _PLACE.search(words)
    line = text.count("\n") + 1
    column: int | None = None
    if place and place[1]:
        line, column = int(place[1]), int(place[2])
    found, expected = _in_plain_words(_PLACE.sub("", words))
    return Fault(file, line, "", found, expected, _hint(text, line), column)


def _in_plain_words(words: str) -> tuple[str, str]:
    for begins, found, expected in _PLAIN:
        if words.startswith(begins):
            return found, expected
    if "recursion" in words or "digits" in words:
        return "lists or numbers far too long", "a setup file"
    return f"this can't be read ({words})", "name = value, [table] or # remark"


def _hint(text: str, line: int) -> str:
    lines = text.split("\n")
    if line <= len(lines) and _COMMA.search(lines[line - 1]):
        return "A decimal sign is a point, not a comma."
    return "The rest of the file was not read; there may be more."
