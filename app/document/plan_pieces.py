"""What the readers of plans share: names of fields, and checks of a point, a span, a list."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final, TypeVar

from app.document.address import left_of
from app.document.checks import Checker, did_you_mean, found_words, strange, unit_words
from app.document.ends import ALIGNED_END, key_in
from app.document.keys import KEYS, is_point
from app.document.model import Value
from app.document.plans import Span
from app.document.toml_layout import Path

Kinds = Mapping[str, str] | None
Read = TypeVar("Read")

PLAN_TABLES: Final = (  # under an end
    *("room", "want", "adjusters", "targets", "gauge"),
    *("envelope", "clearance"),
)
PLAN_ARRAYS: Final = ("want", "envelope", "clearance")  # of them, arrays of tables
WANT_FIELDS: Final = ("result", "is", "at_least", "at_most", "keep", "within", "weight")
ROOM_FIELDS: Final = ("x", "y", "z", "alike")
VALUE_FIELDS: Final = ("from", "to", "steps")
SHIM_FIELDS: Final = ("at", "inboard", "fitted", "fitted_right", "sizes", "most", "apart", "have")
ADJUSTER_FIELDS: Final = (*SHIM_FIELDS, "reach", "pitch")
AIM_FIELDS: Final = ("is", "within")
GAUGE_FIELDS: Final = ("camber", "caster", "toe", "toe_mm", "after")
LOCK_FIELDS: Final = ("at", "camber")
ENVELOPE_FIELDS: Final = (
    *("name", "kind", "from", "to", "radius", "width", "height"),
    *("moves_with", "side"),
)
CLEARANCE_FIELDS: Final = ("between", "at_least", "by")
TOGETHER_FIELDS: Final = ("name", "changes")
TOE_AIMS: Final = ("toe", "toe_total", "toe_mm", "toe_total_mm")
ANGLES: Final = ("camber", "caster")
ALIGNED: Final = (*ANGLES, *TOE_AIMS)  # what adjusters of a front set
LENGTH_AIMS: Final = ("toe_mm", "toe_total_mm")  # in mm whatever the units, as the name says
BY_ADJUSTER: Final = "adjuster"
A_GIVEN_POINT: Final = "a point it gives"
RODS: Final = ("strut_rod", "tie_rod")
STRUT_ROD, TIE_ROD = (key_in(ALIGNED_END, name) for name in RODS)
_TO: Final = "two numbers, the lesser first, as [-30, 5]"


class EndReader:
    """Reads a part of one end of the car, noting faults in the checker."""

    def __init__(
        self,
        check: Checker,
        end: str,
        table: Mapping[str, Any],
        values: Mapping[str, Value],
        kinds: Kinds,
    ) -> None:
        self.check, self.end, self.table = check, end, table
        self.values, self.kinds = values, kinds

    def part(self, name: str) -> dict[str, Any]:
        """Return a table of this end, empty where it isn't given."""
        return self.check.table((self.end, name), self.table.get(name, {}))

    def kept(self, key: str, read: Read | None) -> dict[str, Read]:
        """Return what was read under its key; nothing where it couldn't be."""
        return {} if read is None else {key: read}

    def inline(self, path: Path, raw: object, example: str) -> dict[str, Any]:
        """Return a table in one line; anything else is a fault."""
        if isinstance(raw, dict):
            return raw
        self.check.fault(path, f"found {found_words(raw)}", f"a table, as {example}")
        return {}

    def refuse_strange(self, path: Path, table: Mapping[str, Any], known: Sequence[str]) -> None:
        """Note the names of a table that aren't known in it."""
        for name in strange(table, known):
            self.check.unknown((*path, name), known)

    def refuse_unmeasured(self, path: Path, key: str) -> None:
        """Note a point that the file doesn't give."""
        if key not in self.values and left_of(key) not in self.values:
            self.check.fault(path, "this file gives no such point", A_GIVEN_POINT)

    def unit_words(self, kind: str) -> str:
        """Return the unit in which a number is expected, in words."""
        return unit_words(kind, self.check.units)

    def positive(
        self, path: Path, raw: object, kind: str, most: float | None = None
    ) -> float | None:
        """Return a number above 0, None where it isn't given."""
        return None if raw is None else self.check.number(path, raw, kind, over=0.0, most=most)

    def numbers(
        self,
        path: Path,
        raw: object,
        kind: str,
        least: float | None = None,
        most: float | None = None,
    ) -> tuple[float, ...]:
        """Return a list of numbers, inside units."""
        if not isinstance(raw, list) or not raw:
            found = "missing" if raw is None else f"found {found_words(raw)}"
            self.check.fault(path, found, f"a list of numbers{self.unit_words(kind)}")
            return ()
        read = [
            self.check.number((*path, i), item, kind, least=least, most=most)
            for i, item in enumerate(raw)
        ]
        return tuple(number for number in read if number is not None)

    def span(self, path: Path, raw: object, kind: str) -> Span | None:
        """Return two numbers, the lesser first."""
        if not isinstance(raw, list) or len(raw) != 2:
            self.check.fault(path, f"found {found_words(raw)}", f"{_TO}{self.unit_words(kind)}")
            return None
        low, high = (self.check.number((*path, i), item, kind) for i, item in enumerate(raw))
        if low is None or high is None:
            return None
        if low > high:
            self.check.fault(path, f"{raw[0]} is above {raw[1]}", _TO)
            return None
        return low, high

    def points(self, path: Path, raw: object) -> tuple[str, ...]:
        """Return the keys of one point of this end, or of two."""
        if raw is None:
            return ()
        names: list[object] = (
            [raw] if isinstance(raw, str) else raw if isinstance(raw, list) else []
        )
        if not 1 <= len(names) <= 2:
            self.check.fault(path, f"found {found_words(raw)}", "one point's name, or two")
            return ()
        paths = [path] if isinstance(raw, str) else [(*path, i) for i in range(len(names))]
        read = [self.point(at, name) for at, name in zip(paths, names, strict=True)]
        return tuple(key for key in read if key)

    def point(self, path: Path, raw: object) -> str | None:
        """Return the key of a point of this end."""
        key = key_in(self.end, raw) if isinstance(raw, str) else ""
        if not is_point(key):
            names = [k.removeprefix(f"{self.end}.") for k in KEYS if is_point(k)]
            hint = did_you_mean(raw, names) if isinstance(raw, str) else ""
            self.check.fault(path, f"{found_words(raw)} is no point", "a point's name", hint)
            return None
        self.refuse_unmeasured(path, key)
        return key
