"""Reading a list of points that somebody else measured: name, x, y, z, ± in axes of its own."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from typing import Final

from app.document.faults import Fault, SetupFaults
from app.document.model import Vec
from app.document.quantities import INCH
from geometry.dataclass import dataclass

UNITS: Final[dict[str, float]] = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": INCH}
"""Length units that a list may be in, in mm."""
MOST: Final = 2000
_PARTERS: Final = ("\t", ";", ",")
_COLUMNS: Final[dict[str, tuple[str, ...]]] = {  # of a head, without units and signs
    "name": ("name", "point", "id", "no", "key", "label"),
    "x": ("x",),
    "y": ("y",),
    "z": ("z",),
    "within": ("±", "+-", "within", "uncertainty", "accuracy", "error"),
}
_UNIT: Final = re.compile(r"[\s_\[(]+(mm|cm|m|in)[\])]*$", re.IGNORECASE)
_IN_BRACKETS: Final = re.compile(r"\[([^\]]*)\]\s*$")
_FURTHEST: Final = 1e6  # mm from the list's own origin
_SHAPE: Final = "a name and three numbers, as in: upper ball, 12.5, -340, 208"


@dataclass(frozen=True, slots=True)
class Listed:
    """One point of a list: its name there, place [mm] and uncertainty (k = 2) [mm] in its axes."""

    name: str
    place: Vec
    within: float | None = None


@dataclass(frozen=True, slots=True)
class PointList:
    """The points of a list in its order, and the unit that it was read in."""

    points: tuple[Listed, ...]
    unit: str


def read_point_list(text: str, file: str, unit: str = "mm") -> PointList:
    """Return the points of a text; cells are parted by commas, semicolons or tabs.

    With semicolons or tabs the decimal sign may be a comma. A first line of words is a head, which
    may name the columns in any order, and the unit as in "x [in]"; that goes before `unit`.

    Raises
    ------
    SetupFaults
        Every line that isn't a point, a name that stands twice, or no point at all.
    """
    parter = _parter(text)
    lines = text.lstrip("\ufeff").splitlines()
    rows = [
        (number, [cell.strip() for cell in row])
        for number, row in enumerate(csv.reader(lines, delimiter=parter), 1)
        if any(cell.strip() for cell in row) and not row[0].lstrip().startswith("#")
    ]
    columns = {"name": 0, "x": 1, "y": 2, "z": 3, "within": 4}
    if rows and _number(rows[0][1][1:2], parter) is None:
        (line, head), *rows = rows
        _refuse_units(head, file, line)
        columns, unit = _headed(head, columns, unit)
    reader = _Rows(file, parter, columns, UNITS[unit])
    points = [reader.point(number, cells) for number, cells in rows[:MOST]]
    if len(rows) > MOST:
        reader.fault(rows[MOST][0], f"the list has {len(rows)} points", f"up to {MOST}")
    if not rows:
        reader.fault(1, "found no point", _SHAPE)
    if reader.faults:
        raise SetupFaults(reader.faults)
    return PointList(tuple(point for point in points if point is not None), unit)


class _Rows:
    """Reads one line after another, and notes what is wrong."""

    def __init__(self, file: str, parter: str, columns: dict[str, int], size: float) -> None:
        self.file, self.parter, self.columns, self.size = file, parter, columns, size
        self.faults: list[Fault] = []
        self.lines: dict[str, int] = {}

    def fault(self, line: int, words: str, expected: str) -> None:
        self.faults.append(Fault(self.file, line, "", words, expected))

    def point(self, line: int, cells: Sequence[str]) -> Listed | None:
        name = self._cell(cells, "name")
        numbers = [_number([self._cell(cells, axis)], self.parter) for axis in ("x", "y", "z")]
        within_text = self._cell(cells, "within").lstrip("±").strip()
        within = _number([within_text], self.parter) if within_text else None
        x, y, z = (None if n is None else n * self.size for n in numbers)
        if not name or x is None or y is None or z is None:
            self.fault(line, f"found “{self.parter.join(cells)[:60]}”", _SHAPE)
        elif max(abs(x), abs(y), abs(z)) > _FURTHEST:
            self.fault(line, f"“{name}” is more than a kilometre away", "a place on a car")
        elif within_text and (within is None or within < 0.0):
            self.fault(line, f"found “{within_text}” as the ± of “{name}”", "a number from 0 on")
        elif name in self.lines:
            self.fault(line, f"“{name}” stands in line {self.lines[name]} too", "each name once")
        else:
            self.lines[name] = line
            return Listed(name, (x, y, z), None if within is None else within * self.size)
        return None

    def _cell(self, cells: Sequence[str], column: str) -> str:
        place = self.columns.get(column, len(cells))
        return cells[place] if place < len(cells) else ""


def _parter(text: str) -> str:
    """Return what parts cells: a tab or semicolon where the text has them, else a comma."""
    return next((sign for sign in _PARTERS[:2] if sign in text), _PARTERS[-1])


def _refuse_units(head: Sequence[str], file: str, line: int) -> None:
    """Refuse a head that names units that aren't lengths, or more than one: mixed up is wrong."""
    named = dict.fromkeys(
        name
        for cell in head
        if (unit := _IN_BRACKETS.search(cell))
        if (name := unit[1].strip().lower()) in UNITS or cell[:1].lower() in ("x", "y", "z")
    )
    known = " or ".join(UNITS)
    if strange := [unit for unit in named if unit not in UNITS]:
        raise SetupFaults([Fault(file, line, "", f"found the unit “{strange[0][:20]}”", known)])
    if len(named) > 1:
        units = " and ".join(named)
        raise SetupFaults([Fault(file, line, "", f"found {units} in one list", "one unit for all")])


def _headed(head: Sequence[str], usual: dict[str, int], unit: str) -> tuple[dict[str, int], str]:
    """Return where the columns are by a head's words, and the unit that it names."""
    columns: dict[str, int] = {}
    for place, cell in enumerate(head):
        named_unit = _UNIT.search(cell)
        if named_unit:
            unit = named_unit[1].lower()
        word = _UNIT.sub("", cell).strip().lower()
        for column, words in _COLUMNS.items():
            if word in words or any(word.startswith(f"{each} ") for each in words):
                columns.setdefault(column, place)
    is_whole = columns.keys() >= {"name", "x", "y", "z"}
    return (columns if is_whole else usual), unit


def _number(cells: Sequence[str], parter: str) -> float | None:
    text = (cells[0] if cells else "").replace("−", "-")
    if parter != ",":
        text = text.replace(",", ".")
    try:
        number = float(text)
    except ValueError:
        return None
    return number if abs(number) < float("inf") else None
