"""Setup files damaged by chance: the same seed and number give the same bytes."""

from __future__ import annotations

import re
from collections.abc import Callable
from random import Random
from typing import Final

from tests.document.examples import EXAMPLES
from tests.helpers.project import SAMPLE_FILES

SAMPLES: Final = [path.read_text(encoding="utf-8") for path in SAMPLE_FILES]
WHOLE: Final = [*SAMPLES, *EXAMPLES]

_NUMBERS: Final = """
    0 -0.0 1 -1 2.5 1e-300 -1e-300 1e-9 1e6 1e9 1e16 1e30 -1e30 1e150 1e154 1e300 -1e300 1e308 1e999
    nan -nan inf -inf 0xFF 0b1 1_000.5 1e 1. .5 + 00 1,5 5mm 1979-05-27
"""
NUMBERS: Final = _NUMBERS.split()
LONG: Final = ["9" * 400, "9" * 4400, f"0x{'F' * 5000}", f"0.{'3' * 400}"]
_VALUES: Final = """
    true false "" "x" 'x' [] {} [[]] [1,2,3] [0,0,0] [1,2] [1,2,3,4] ["a",1,2] [nan,0,0] {a=1} [{}]
    {at=[1,2,3]} {at=[1,2,3],within=-1} [[1,2,3]] {min=1,max=-1} {min=nan} [true,true,true]
"""
VALUES: Final = _VALUES.split()
TEXTS: Final = [
    "<b>bold</b><img src='file:///red.png'>",
    r"\u001b[2J\u001b]0;title\u0007",
    r"\u202e turned",
    r"\u0000",
    r"\u009b31m\u007f",
    r"\n\n\t",
    "%s{0}$()`x`",
    "é ü 日本 😀",
    "=cmd|'x'!A1",
    " ",
    "x" * 3000,
]

_NUMBER: Final = re.compile(r"(?<![\w.\"])[+-]?\d+(?:\.\d+)?(?![\w.])")
_KEY: Final = re.compile(r"^[ \t]*([\w\".]+)[ \t]*=", re.MULTILINE)
_VALUE: Final = re.compile(r"^([ \t]*[\w\".]+[ \t]*=[ \t]*)([^\n#]*[^\s#])", re.MULTILINE)
_HEADER: Final = re.compile(r"^\[+[^\]\n]+\]+", re.MULTILINE)
_QUOTED: Final = re.compile(r"(?<== )\"[^\"\n]*\"")

Damage = Callable[[str, Random], str]


def damaged_file(seed: int, number: int) -> bytes:
    """Return the file of this number: a whole one, damaged once to three times."""
    chance = Random(f"{seed}/{number}")
    text = chance.choice(WHOLE)
    for _ in range(chance.choice((1, 1, 2, 3))):
        text = chance.choice(_DAMAGES)(text, chance)
    data = text.encode("utf-8", "surrogatepass")
    return chance.choice(_IN_BYTES)(data, chance) if chance.random() < 0.12 else data


def _put(text: str, found: re.Match[str] | None, new: str, group: int = 0) -> str:
    if found is None:
        return text
    return f"{text[: found.start(group)]}{new}{text[found.end(group) :]}"


def _one(pattern: re.Pattern[str], text: str, chance: Random) -> re.Match[str] | None:
    every = list(pattern.finditer(text))
    return chance.choice(every) if every else None


def _other_number(text: str, chance: Random) -> str:
    new = chance.choice(LONG) if chance.random() < 0.1 else chance.choice(NUMBERS)
    return _put(text, _one(_NUMBER, text, chance), new)


def _number_near(text: str, chance: Random) -> str:
    """Let a number be what a slip makes of it: another unit, sign, decimal, or a little off."""
    found = _one(_NUMBER, text, chance)
    if found is None:
        return text
    factor = chance.choice((-1.0, 25.4, 1 / 25.4, 10.0, 0.1, 100.0, 0.01, chance.uniform(-3, 3)))
    return _put(text, found, repr(float(found[0]) * factor))


def _all_numbers_of_a_line(text: str, chance: Random) -> str:
    new = chance.choice(NUMBERS)
    return _with_line(text, chance, lambda line: _NUMBER.sub(lambda _: new, line))


def _other_value(text: str, chance: Random) -> str:
    return _put(text, _one(_VALUE, text, chance), chance.choice(VALUES), 2)


def _value_of_another(text: str, chance: Random) -> str:
    source = _one(_VALUE, chance.choice((text, *WHOLE)), chance)
    return _put(text, _one(_VALUE, text, chance), source[2] if source else "1", 2)


def _point_upon_another(text: str, chance: Random) -> str:
    points = re.compile(r"\[-?[\d.]+, -?[\d.]+, -?[\d.]+\]")
    source = _one(points, text, chance)
    return _put(text, _one(points, text, chance), source[0] if source else "[0, 0, 0]")


def _other_text(text: str, chance: Random) -> str:
    return _put(text, _one(_QUOTED, text, chance), f'"{chance.choice(TEXTS)}"')


def _other_key(text: str, chance: Random) -> str:
    found = _one(_KEY, text, chance)
    if found is None:
        return text
    key = found[1]
    at = chance.randrange(len(key))
    slips = [
        key[:at] + key[at + 1 :],
        f"{key[:at]}{chance.choice('aexzq_')}{key[at:]}",
        f'"{key.strip(chr(34))}"',
        f'"\\u001b[2J{key.strip(chr(34))}"',
        f'"{chance.choice(TEXTS)}"',
        ".".join(["a"] * chance.choice((2, 5, 60))),
        f"{key}.{key}",
        f"{key} {key}",
        key.upper(),
        "",
    ]
    return _put(text, found, chance.choice(slips), 1)


def _other_header(text: str, chance: Random) -> str:
    found = _one(_HEADER, text, chance)
    if found is None:
        return text
    head, other = found[0], _one(_HEADER, chance.choice((text, *WHOLE)), chance)
    again = other[0] if other else "[x]"
    return _put(
        text,
        found,
        chance.choice(
            [head[:-1], head[1:], f"[{head}]", "", "[]", again, f"{again}\n{head}", f"{head} x"]
        ),
    )


def _header_somewhere(text: str, chance: Random) -> str:
    other = _one(_HEADER, chance.choice(WHOLE), chance)
    return _with_line(text, chance, lambda line: f"{other[0] if other else '[x]'}\n{line}")


def _line_of_another_car(text: str, chance: Random) -> str:
    new = chance.choice(chance.choice(WHOLE).split("\n"))
    return _with_line(text, chance, lambda line: f"{new}\n{line}")


def _line_lost(text: str, chance: Random) -> str:
    return _with_line(text, chance, lambda _: None)


def _line_twice(text: str, chance: Random) -> str:
    return _with_line(text, chance, lambda line: f"{line}\n{line}")


def _line_cut(text: str, chance: Random) -> str:
    return _with_line(text, chance, lambda line: line[: chance.randrange(len(line) + 1)])


def _lines_swapped(text: str, chance: Random) -> str:
    lines = text.split("\n")
    i, j = chance.randrange(len(lines)), chance.randrange(len(lines))
    lines[i], lines[j] = lines[j], lines[i]
    return "\n".join(lines)


def _block_lost(text: str, chance: Random) -> str:
    blocks = text.split("\n\n")
    del blocks[chance.randrange(len(blocks))]
    return "\n\n".join(blocks)


def _all_changes_on(text: str, _chance: Random) -> str:
    return text.replace("on = false", "on = true")


def _cut_short(text: str, chance: Random) -> str:
    return text[: chance.randrange(len(text) + 1)]


def _deep(text: str, chance: Random) -> str:
    depth = chance.choice((3, 60, 800))
    nest = chance.choice((f"x = {'[' * depth}{']' * depth}", f"x = {'{a=' * depth}1{'}' * depth}"))
    return _with_line(text, chance, lambda line: f"{line}\n{nest}")


def _character(text: str, chance: Random) -> str:
    at = chance.randrange(len(text) + 1)
    new = chance.choice("\"'[]{}=,.#\\\r\n\t\x00\x1b\x7f\u00a0\u200b\u202e−“é")
    return f"{text[:at]}{new}{text[at + chance.randrange(2) :]}"


def _with_line(text: str, chance: Random, change: Callable[[str], str | None]) -> str:
    lines = text.split("\n")
    at = chance.randrange(len(lines))
    new = change(lines[at])
    lines[at : at + 1] = [] if new is None else [new]
    return "\n".join(lines)


def _flipped(data: bytes, chance: Random) -> bytes:
    flipped = bytearray(data)
    for _ in range(chance.choice((1, 1, 3, 40))):
        if flipped:
            flipped[chance.randrange(len(flipped))] = chance.randrange(256)
    return bytes(flipped)


_IN_BYTES: Final[list[Callable[[bytes, Random], bytes]]] = [
    _flipped,
    _flipped,
    lambda data, _: data.replace(b"\n", b"\r\n"),
    lambda data, _: data.replace(b"\n", b"\r"),
    lambda data, _: b"\xef\xbb\xbf" + data,
    lambda data, _: data.decode("utf-8", "replace").encode("utf-16"),
    lambda data, _: data.decode("utf-8", "replace").encode("latin-1", "replace"),
    lambda data, chance: data[: chance.randrange(len(data) + 1)],
    lambda data, chance: data[: chance.randrange(len(data) + 1)] + b"\0" * 64,
]

_DAMAGES: Final[list[Damage]] = [
    *[_other_number] * 4,
    *[_number_near] * 4,
    *[_other_value] * 2,
    *[_value_of_another] * 2,
    *[_point_upon_another] * 2,
    *[_other_text] * 2,
    *[_other_key] * 2,
    *[_line_lost] * 2,
    _all_numbers_of_a_line,
    _all_changes_on,
    _other_header,
    _header_somewhere,
    _line_of_another_car,
    _line_twice,
    _line_cut,
    _lines_swapped,
    _block_lost,
    _cut_short,
    _deep,
    _character,
]
