"""A breakage: one wrong sign, side, unit, column or step, and the tests that must notice it."""

from __future__ import annotations

from typing import Final, NamedTuple

ROWS: Final = "tests/shop/test_rows.py"
CELLS: Final = "tests/sheet/test_cells.py"
WORK: Final = "tests/sheet/test_cells_of_work.py"
STRESS: Final = "tests/systems/rear/test_leaf_stress.py"


class Breakage(NamedTuple):
    """What is broken: in which file, which text for which, and the tests that belong to it."""

    name: str
    file: str
    before: str
    after: str
    tests: tuple[str, ...]


def breakages(*rows: tuple[str, str, str, str, str]) -> tuple[Breakage, ...]:
    """Return breakages from rows whose last column names tests, with spaces between."""
    return tuple(Breakage(*row[:4], tuple(row[4].split())) for row in rows)
