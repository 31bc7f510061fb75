"""The fault of a text that isn't TOML, in plain words with line and column."""

from __future__ import annotations

import re
import tomllib
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
_NAME: Final = r"""(?:[\w-]+|"[^"\n]*"|'[^'\n]*')"""
_HEADER: Final = re.compile(rf"[ \t]*\[\[?[ \t]*({_NAME}(?:[ \t]*\.[ \t]*{_NAME})*)")
_KEY: Final = re.compile(rf"[ \t]*({_NAME}(?:[ \t]*\.[ \t]*{_NAME})*)[ \t]*(?:=|$|[ \t])")
# What is no key, but was meant as one.
_WORD: Final = re.compile(r"[ \t]*([^\s=#\[\]{},\"'\d+-][^\s=,]*)(?=[\s=]|$)")
_STATEMENT: Final = re.compile(r"^[ \t]*(?:\[|[\w\"'-][^=\n]*=)", re.MULTILINE)
_LONGEST: Final = 80  # characters of a key that are told
_COMMA: Final = re.compile(r"=\s*[+-]?\d+,\d")


def syntax_fault(file: str, text: str, error: Exception) -> Fault:
    """Return the fault for what stopped the standard reader."""
    words = str(error)
    place = _PLACE.search(words)
    line, column = (int(place[1]), int(place[2])) if place and place[1] else (0, None)
    if not line or words.startswith("Unclosed"):  # that was noticed further down
        begins = _line_that_stops(text)
        line, column = begins, column if begins == line else None
    problem, expected = _in_plain_words(_PLACE.sub("", words))
    return Fault(file, line, key_on_line(text, line), problem, expected, _hint(text, line), column)


def key_on_line(text: str, line: int) -> str:
    """Return the key that stands on a line of a text that needn't be TOML, with its table's name.

    A line of values goes on with the key above it.
    """
    rows = text.split("\n")[:line]
    word = _WORD.match(rows[-1])
    key = _bare(word[1]) if word and not _KEY.match(rows[-1]) else ""
    for row in reversed(rows):
        header = _HEADER.match(row)
        name = None if header or key else _KEY.match(row)
        if header:
            table = _bare(header[1])
            return f"{table}.{key}" if table and key else table or key
        if name:
            key = _bare(name[1])
    return key


def _bare(name: str) -> str:
    """Return a name without its quotes, short enough to be told."""
    parts = [part.strip().strip("\"'") for part in name.split(".")]
    dotted = ".".join(parts)
    return dotted if len(dotted) <= _LONGEST else f"{dotted[:_LONGEST]}…"


def _line_that_stops(text: str) -> int:
    """Return the line of the first statement that can't be read: all before it can."""
    starts = [match.start() for match in _STATEMENT.finditer(text)]
    low, high = 0, len(starts)  # what stands before starts[low] reads; before starts[high] not
    while high - low > 1:
        middle = (low + high) // 2
        if _reads(text[: starts[middle]]):
            low = middle
        else:
            high = middle
    return text.count("\n", 0, starts[low]) + 1 if starts else 1


def _reads(text: str) -> bool:
    try:
        tomllib.loads(text)
    except (RecursionError, ValueError):
        return False
    return True


def _in_plain_words(words: str) -> tuple[str, str]:
    for begins, problem, expected in _PLAIN:
        if words.startswith(begins):
            return problem, expected
    if "recursion" in words or "digits" in words:
        return "a number or a list that is far too long", "a value of a setup"
    return f"this can't be read ({words})", "name = value, [table] or # remark"


def _is_unseen(character: str) -> bool:
    """Tell whether a character looks like a space, or like nothing, and is no space or tab."""
    return not (character.isprintable() or character in "\t\r")


def _hint(text: str, line: int) -> str:
    lines = text.split("\n")
    if line <= len(lines) and _COMMA.search(lines[line - 1]):
        return "A decimal sign is a point, not a comma."
    if line <= len(lines) and any(map(_is_unseen, lines[line - 1])):
        return "There is a character on this line that can't be seen: type the line anew."
    return "The rest of the file was not read; there may be more."
