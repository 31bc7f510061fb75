"""Reading how high each end of the proposed car stands."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from app.document.checks import Checker, did_you_mean, found_words, number_hint, strange, unit_words
from app.document.ends import ENDS
from app.document.heights import (
    HEIGHT_KEYS,
    STOP_TRAVEL,
    height_range,
    is_in_reach,
    plain_length,
    reach_words,
    stop_keys,
)
from app.document.keys import KEYS
from app.document.model import AS_MEASURED, SETTLES, HeightChoice, Value
from app.document.read_values import Tables, is_given
from app.document.toml_layout import Path

_WORDS: Final = (SETTLES, AS_MEASURED)


def read_heights(
    check: Checker, tables: Tables, values: Mapping[str, Value]
) -> dict[str, HeightChoice]:
    """Return the choice for each end that the file gives one for, noting faults in the checker.

    `values` are the measured ones, which say where the stops are.
    """
    table = check.table(("proposal",), tables["proposal"])
    for name in strange(table, HEIGHT_KEYS.values()):
        check.unknown(("proposal", name), HEIGHT_KEYS.values())
    choices: dict[str, HeightChoice] = {}
    for end in ENDS:
        name = HEIGHT_KEYS[end]
        if name in table:
            choice = _choice(check, tables, values, end, table[name])
            choices |= {} if choice is None else {end: choice}
    return choices


def _choice(
    check: Checker, tables: Tables, values: Mapping[str, Value], end: str, raw: object
) -> HeightChoice | None:
    path: Path = ("proposal", HEIGHT_KEYS[end])
    if end not in tables:
        hint = f"Take this line out, or give the car's {end} under [{end}]."
        check.fault(path, f"this file gives no {end}", "", hint)
        return None
    if isinstance(raw, str) and raw in _WORDS:
        return raw
    if isinstance(raw, bool) or not isinstance(raw, int | float):
        _refuse_word(check, path, raw)
        return None
    height = check.number(path, raw, "length", over=0.0)
    if height is not None and _stops_are_known(tables, values, end):
        _check_reach(check, path, raw, height, values, end)
    return height


def _refuse_word(check: Checker, path: Path, raw: object) -> None:
    words = ", ".join(f'"{word}"' for word in _WORDS)
    expected = f"{words} or a number{unit_words('length', check.units)}: wheel centre to arch lip"
    near = did_you_mean(raw, _WORDS) if isinstance(raw, str) else ""
    check.fault(path, f"found {found_words(raw)}", expected, near or number_hint(raw))


def _stops_are_known(tables: Tables, values: Mapping[str, Value], end: str) -> bool:
    """Tell whether what bounds a height was read: one that is wrong has a fault of its own."""
    return all(key in values or not is_given(tables, KEYS[key]) for key in stop_keys(end))


def _check_reach(
    check: Checker,
    path: Path,
    raw: object,
    height: float,
    values: Mapping[str, Value],
    end: str,
) -> None:
    arch_height, bump, rebound = stop_keys(end)
    reach = height_range(values, end)
    if reach is None:
        words = f"found {found_words(raw)}, but this file gives no {arch_height}"
        hint = f'Add arch_height under [{end}], as measured, or choose "{SETTLES}" here.'
        check.fault(path, words, f"{arch_height} beside a number for the height", hint)
    elif not is_in_reach(height, reach):
        bound, nearest = reach_words(height, reach, check.units)
        expected = f"a number{unit_words('length', check.units)}, {bound}"
        plain = plain_length(STOP_TRAVEL, check.units)
        stops = f"{arch_height} less {bump}, plus {rebound} ({plain} where not given)"
        hint = f"The stops: {stops}. The nearest is {nearest}."
        check.fault(path, f"found {found_words(raw)}", expected, hint)
