"""Files of older formats, brought up to the present one before they are read.

An upgrade takes a file's tables in one format and returns them in the next; its step stands in
`UPGRADES` under the number of the older one. What a step needs to know of the older format is
written out here: it stays true when the program changes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

FORMAT: Final = 2  # what this program reads and writes

Tables = dict[str, Any]
Upgrades = Mapping[int, Callable[[Tables], Tables]]

_GAINS: Final = ("camber_gain", "bump_steer", "bump_steer_length", "bar_motion_ratio")
_TIMES: Final = 25


def _gains_over_25_mm(tables: Tables) -> Tables:
    """Return tables of format 1 as those of format 2: limits of gains were per mm in files in mm.

    In files in inches they were per inch, as they are. What is no number stays for the reader to
    complain of.
    """
    front = tables.get("front")
    limits = front.get("limits") if isinstance(front, dict) else None
    if tables.get("units") == "in" or not isinstance(front, dict) or not isinstance(limits, dict):
        return tables
    over_25 = {name: _times(raw) if name in _GAINS else raw for name, raw in limits.items()}
    return {**tables, "front": {**front, "limits": over_25}}


def _times(raw: object) -> object:
    """Return a limit's number, or both its ends, over 25 times the travel."""
    if isinstance(raw, dict):
        return {name: _times(end) if name in ("min", "max") else end for name, end in raw.items()}
    is_number = isinstance(raw, int | float) and not isinstance(raw, bool)
    return _TIMES * raw if is_number else raw  # type: ignore[operator]


UPGRADES: Final[Upgrades] = {1: _gains_over_25_mm}


def upgrade(
    tables: Tables, file_format: int, upgrades: Upgrades = UPGRADES, present: int = FORMAT
) -> Tables:
    """Return the tables in the present format, taken there step by step."""
    for number in range(file_format, present):
        tables = upgrades[number](tables)
    return {**tables, "format": present}


def oldest(upgrades: Upgrades = UPGRADES, present: int = FORMAT) -> int:
    """Return the oldest format that can still be read."""
    number = present
    while number - 1 in upgrades:
        number -= 1
    return number
