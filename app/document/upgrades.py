"""Files of older formats, brought up to the present one before they are read.

An upgrade takes a file's tables in one format and returns them in the next. There is none yet:
format 1 is the first. When format 2 comes, its step goes into `UPGRADES` under the number 1.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

FORMAT: Final = 1  # what this program reads and writes

Tables = dict[str, Any]
Upgrades = Mapping[int, Callable[[Tables], Tables]]
UPGRADES: Final[Upgrades] = {}


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
