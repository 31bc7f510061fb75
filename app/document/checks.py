"""Checks of single values of a file: each returns the value in inside units, or a fault."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from datetime import date, datetime, time
from typing import Any, Final, Literal, cast

from app.document.bounds import LEAF_ENDS, bound_words
from app.document.ends import end_of
from app.document.faults import Fault
from app.document.leaf_parts import LEAVES, MEASURED, LeafPart
from app.document.model import Leaf, Units, Vec, Within
from app.document.quantities import QUANTITIES, to_inside
from app.document.schema import HALVES, LEAF_KINDS, TAPERS
from app.document.toml_layout import Layout, Path

MISSING: Final = "missing"
_HELPED: Final = 50  # faults
_OF_BOTH: Final = ("pack", "block", "wedge", "shackle")  # of both rear springs
_ARRAYS: Final = ("plane", "tape", "together", "want", "envelope", "clearance")
_KNOWN: Final = ("is", "within")
_NAMES: Final = 24  # that a fault lists
_SHORT: Final = 1e-6  # of a direction: shorter ones are zero
_LONG: Final = 10**30  # a whole number of more digits isn't repeated in a fault
_IN_WORDS: Final = {
    "mm": "mm",
    "in": "inches",
    "°": "degrees",
    "N·m/°": "N·m per degree",
    "lbf·ft/°": "lbf·ft per degree",
    "%": "per cent",
}


class Checker:
    """Checks values and collects what is wrong with them."""

    def __init__(self, file: str, layout: Layout, units: Units) -> None:
        self.file = file
        self.layout = layout
        self.units: Units = units
        self.faults: list[Fault] = []
        self.meant: set[Path] = set()  # what misspelt names were probably meant to be

    def fault(self, path: Path, found: str, expected: str, hint: str = "") -> None:
        """Note a fault at a path of the file."""
        line = self.layout.line_of(path)
        self.faults.append(Fault(self.file, line, spelt(path), found, expected, hint))

    def unknown(
        self, path: Path, known_names: Iterable[str], elsewhere: str = "", at: Path = ()
    ) -> None:
        """Note an unknown key, with the nearest known one.

        Looking for the nearest takes a while: past the first faults nobody reads it.
        """
        elsewhere = elsewhere or _of_both_sides(path)
        near = nearest(str(path[-1]), known_names) if len(self.faults) < _HELPED else ""
        if near:
            self.meant.add((*path[:-1], near))
        hint = elsewhere or (f"Did you mean {near}?" if near else _known_words(known_names))
        line = self.layout.line_of(at or path)
        words = "this name is not known here"
        self.faults.append(Fault(self.file, line, spelt(path), words, "", hint))

    def number(
        self,
        path: Path,
        raw: object,
        kind: str,
        over: float | None = None,
        least: float | None = None,
        most: float | None = None,
    ) -> float | None:
        """Return the value inside of one number; bounds are inside units too."""
        expected = f"a number{unit_words(kind, self.units)}"
        if isinstance(raw, bool) or not isinstance(raw, int | float):
            self.fault(path, f"found {found_words(raw)}", expected, number_hint(raw))
            return None
        value = _inside(raw, kind, self.units)
        bound = bound_words(value, over, least, most, kind, self.units)
        if bound:
            self.fault(path, f"found {found_words(raw)}", f"{expected}, {bound}")
            return None
        return value + 0.0

    def vector(self, path: Path, raw: object, kind: str, least: float | None = None) -> Vec | None:
        """Return three numbers: a point or move ("length"), or a direction ("ratio")."""
        expected = f"three numbers{unit_words(kind, self.units)}, [x, y, z]"
        if not isinstance(raw, list) or len(raw) != 3:
            hint = "A decimal sign is a point, not a comma." if _split_by_commas(raw) else ""
            self.fault(path, f"found {found_words(raw)}", expected, hint)
            return None
        numbers = [self.number((*path, i), item, kind, least=least) for i, item in enumerate(raw)]
        x, y, z = numbers
        return None if x is None or y is None or z is None else (x, y, z)

    def within(self, path: Path, raw: object, kind: str) -> Within | None:
        """Return how well a value is known: one number, or three of a point; 0 is exact."""
        if not isinstance(raw, list):
            return self.number(path, raw, kind, least=0.0)
        return self.vector(path, raw, kind, least=0.0)

    def direction(self, path: Path, raw: object) -> Vec | None:
        """Return a direction as a unit vector."""
        vector = self.vector(path, raw, "ratio")
        if vector is None:
            return None
        length = math.hypot(*vector)
        if length < _SHORT:
            self.fault(path, "found three zeros", "a direction, as [0, 0, 1] is straight up")
            return None
        if abs(length - 1.0) < 1e-12:
            return vector
        return (vector[0] / length, vector[1] / length, vector[2] / length)

    def text(self, path: Path, raw: object) -> str | None:
        """Return a text."""
        if isinstance(raw, str):
            return raw
        self.fault(path, f"found {found_words(raw)}", 'text in quotes, as "…"')
        return None

    def day(self, path: Path, raw: object) -> str | None:
        """Return a date as text, written with quotes or without."""
        if isinstance(raw, date | datetime):
            return raw.isoformat()
        return self.text(path, raw)

    def switch(self, path: Path, raw: object) -> bool | None:
        """Return true or false."""
        if isinstance(raw, bool):
            return raw
        self.fault(path, f"found {found_words(raw)}", "true or false, without quotes")
        return None

    def choice(self, path: Path, raw: object, choices: tuple[str, ...]) -> str | None:
        """Return one of a few words."""
        if isinstance(raw, str) and raw in choices:
            return raw
        hint = did_you_mean(raw, choices) if isinstance(raw, str) else ""
        expected = " or ".join(f'"{choice}"' for choice in choices)
        self.fault(path, f"found {found_words(raw)}", expected, hint)
        return None

    def table(self, path: Path, raw: object) -> dict[str, Any]:
        """Return a table; anything else is a fault and counts as an empty one."""
        if isinstance(raw, dict):
            return raw
        self.fault(path, f"found {found_words(raw)}", f"a table, under [{spelt(path)}]")
        return {}

    def tables(self, path: Path, raw: object) -> list[tuple[Path, dict[str, Any]]]:
        """Return an array of tables with the path of each."""
        if not isinstance(raw, list):
            self.fault(path, f"found {found_words(raw)}", f"tables, each under [[{spelt(path)}]]")
            return []
        paths = [(*path, i) for i in range(len(raw))]
        return [(p, self.table(p, item)) for p, item in zip(paths, raw, strict=True)]

    def leaves(
        self, path: Path, raw: object, within: dict[str, Within] | None = None
    ) -> tuple[Leaf, ...] | None:
        """Return the leaves of a pack; measured ones put how well they are known into `within`."""
        before = len(self.faults)
        leaves = [self._leaf(at, table, within) for at, table in self.tables(path, raw)]
        if not leaves and before == len(self.faults):
            self.fault(path, "found no leaf", "at least one")
        whole = tuple(leaf for leaf in leaves if leaf is not None)
        return whole if before == len(self.faults) else None

    def _leaf(
        self, path: Path, table: Mapping[str, object], within: dict[str, Within] | None
    ) -> Leaf | None:
        before = len(self.faults)
        for name in strange(table, LEAF_KINDS):
            self.unknown((*path, name), LEAF_KINDS)
        for name in ("thickness", *HALVES):
            if name not in table:
                self.fault((*path, name), "missing", f"a number{unit_words('length', self.units)}")
        fields = {
            n: self._leaf_field((*path, n), table[n], n, within) for n in LEAF_KINDS if n in table
        }
        return Leaf(**fields) if before == len(self.faults) else None

    def _leaf_field(
        self, path: Path, raw: object, name: str, within: dict[str, Within] | None
    ) -> Any:
        kind = LEAF_KINDS[name]
        if isinstance(raw, dict) and name in MEASURED and within is not None:
            for strange_name in strange(raw, _KNOWN):
                self.unknown((*path, strange_name), _KNOWN)
            if "is" not in raw:
                self.fault((*path, "is"), "missing", "is = a number")
                return None
            known = self.number((*path, "within"), raw.get("within", 0.0), kind, least=0.0)
            if known is not None and "within" in raw:
                within[LeafPart(cast(int, path[-2]), name).key] = known
            path, raw = (*path, "is"), raw["is"]
        if kind == "switch":
            return self.switch(path, raw)
        if kind == "text":
            return self.text(path, raw)
        if kind == "choice":
            return self.choice(path, raw, TAPERS)
        return self.number(path, raw, kind, **LEAF_ENDS[name])


def strange(table: Mapping[str, object], known_names: Iterable[str]) -> list[str]:
    """Return the names of a table that aren't known in it, in the file's order."""
    right = frozenset(known_names)
    return [name for name in table if name not in right]


def spelt(path: Path) -> str:
    """Return a path in words: front.points.upper_ball, or change 2, move, front.upper_ball."""
    if path[:1] == ("change",) and len(path) > 1 and isinstance(path[1], int):
        remainder = spelt(path[3:])
        return ", ".join(filter(None, [f"change {path[1] + 1}", *map(str, path[2:3]), remainder]))
    for place, part in enumerate(path):
        if isinstance(part, int) and path[place - 1] in _ARRAYS:
            row = f"{spelt(path[:place])} {part + 1}"
            return ", ".join(filter(None, [row, spelt(path[place + 1 :])]))
    words = ""
    for part in path:
        number = f", number {part + 1}" if isinstance(part, int) else ""
        words += number or f"{'.' if words else ''}{shortened(str(part), 80)}"
    return words


def shortened(text: str, most: int) -> str:
    """Return a text, the rest of a long one as an ellipsis."""
    return text if len(text) <= most else f"{text[:most]}…"


def _of_both_sides(path: Path) -> str:
    """Say that both rear springs are of one make where a value is asked for on the right alone."""
    names = [name for part in path for name in str(part).split(".")]
    end = end_of(LEAVES)
    if end not in names:
        return ""
    below = names[names.index(end) + 1 :]
    if below[:1] == ["right"]:
        is_right = len(below) == 1 or below[1] in _OF_BOTH
    else:
        is_right = below[:1] in [[f"{part}_right"] for part in _OF_BOTH]
    if not is_right:
        return ""
    return (
        "Both rear springs have one pack, block, wedge and shackle here, given without a side; "
        "points alone may differ, under [rear.points_right]."
    )


def _known_words(known_names: Iterable[str]) -> str:
    """Return the names that are known, or the first of very many."""
    names = list(known_names)
    few = ", ".join(names[:_NAMES])
    return f"Known: {few}." if len(names) <= _NAMES else f"Known, for instance: {few}."


def did_you_mean(word: str, known_words: Iterable[str]) -> str:
    """Return "Did you mean …?" for the nearest known word, or nothing when none is near."""
    near = nearest(word, known_words)
    return f"Did you mean {near}?" if near else ""


def nearest(word: str, known_words: Iterable[str]) -> str:
    """Return the known word that is most like this one, or nothing when none is near."""
    import difflib  # only for a mistake: each start loads this file

    near = difflib.get_close_matches(word, list(known_words), n=1, cutoff=0.6)
    return near[0] if near else ""


def found_words(raw: object) -> str:
    """Return what was found, in words."""
    if isinstance(raw, bool):
        return "true" if raw else "false"
    if isinstance(raw, str):
        return f'the text "{shortened(" ".join(raw.splitlines()), 37)}"'
    if isinstance(raw, list):
        return f"a list of {len(raw)}" if raw else "an empty list"
    if isinstance(raw, dict):
        return "a table"
    if isinstance(raw, int) and abs(raw) >= _LONG:
        return "a huge number"
    return f"the date or time {raw}" if isinstance(raw, date | time) else f"{raw}"


def unit_words(kind: str, units: Literal["mm", "in"]) -> str:
    """Return " in mm", " in degrees": the unit expected, in words; nothing where there is none."""
    unit = QUANTITIES[kind].unit(units)
    return f" in {_IN_WORDS.get(unit, unit)}" if unit else ""


def _inside(raw: float, kind: str, units: Units) -> float:
    try:
        return to_inside(float(raw), kind, units)
    except OverflowError:
        return math.inf


def number_hint(raw: object) -> str:
    """Return how a number is written, where what was found is nearly one."""
    if isinstance(raw, list) and len(raw) == 2:
        return "A decimal sign is a point, not a comma."
    if (
        isinstance(raw, str)
        and raw.strip().replace(",", ".").lstrip("+-").replace(".", "").isdigit()
    ):
        return f"Write it without quotes: {raw.strip().replace(',', '.')}."
    return ""


def _split_by_commas(raw: object) -> bool:
    return isinstance(raw, list) and len(raw) in (4, 5, 6) and all(isinstance(n, int) for n in raw)
