"""Reading the tapes of a setup file, and the marks on the floor that they may end at."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, Final

from app.document.address import left_of
from app.document.checks import Checker, did_you_mean, found_words, strange
from app.document.keys import KEYS, is_point
from app.document.model import LOOSEST, Tape, Vec, Within, mark_key
from app.document.read_values import Tables
from app.document.toml_layout import Path
from geometry.dataclass import dataclass

TAPE_FIELDS: Final = ("between", "length", "within", "note")
_MARK_FIELDS: Final = ("at", "within")
_TWO_ENDS: Final = 'two points, as ["front.upper_ball", "front.lower_ball"]'


@dataclass(frozen=True, slots=True)
class Taped:
    """What a file gives beside the coordinates of points; `within` is of the marks, by key."""

    marks: dict[str, Vec]
    within: dict[str, Within]
    tapes: tuple[Tape, ...]


def read_taped(
    check: Checker, tables: Tables, points: Collection[str], within: Collection[str]
) -> Taped:
    """Return the marks and tapes of a file, noting faults in the checker.

    `points` are the keys of the points that the file gives, `within` those that say how well they
    were measured.
    """
    marks: dict[str, Vec] = {}
    marks_within: dict[str, Within] = {}
    for name, raw in check.table(("marks",), tables.get("marks", {})).items():
        _read_mark(check, name, raw, marks, marks_within)
    ends = _Ends(check, points, within, marks, set())
    rows = check.tables(("tape",), tables["tape"]) if "tape" in tables else []
    read = [_read_tape(check, path, row, ends) for path, row in rows]
    return Taped(marks, marks_within, tuple(tape for tape in read if tape is not None))


def _read_mark(
    check: Checker,
    name: str,
    raw: object,
    marks: dict[str, Vec],
    within: dict[str, Within],
) -> None:
    path: Path = ("marks", name)
    if isinstance(raw, dict):
        for other in strange(raw, _MARK_FIELDS):
            check.unknown((*path, other), _MARK_FIELDS)
        if "within" in raw:
            read = check.within((*path, "within"), raw["within"], "length")
            within |= {} if read is None else {mark_key(name): read}
        if "at" not in raw:
            check.fault((*path, "at"), "missing", "at = [x, y, z]")
            return
        path, raw = (*path, "at"), raw["at"]
    place = check.vector(path, raw, "length")
    marks |= {} if place is None else {name: place}


@dataclass(frozen=True, slots=True)
class _Ends:
    """What a tape of a file can end at."""

    check: Checker
    points: Collection[str]
    within: Collection[str]
    marks: Collection[str]
    untold: set[str]  # the points of which that was said

    def read(self, path: Path, raw: object) -> tuple[str, str] | None:
        """Return the two ends of a tape."""
        if not isinstance(raw, list) or len(raw) != 2:
            self.check.fault(path, f"found {found_words(raw)}", _TWO_ENDS)
            return None
        first, second = (self._end((*path, i), item) for i, item in enumerate(raw))
        if first is None or second is None:
            return None
        if first == second:
            self.check.fault(path, "both ends are the same point", _TWO_ENDS)
            return None
        return first, second

    def _end(self, path: Path, raw: object) -> str | None:
        names = [*map(mark_key, self.marks), *self.points]
        if not isinstance(raw, str):
            self.check.fault(path, f"found {found_words(raw)}", "the name of a point or mark")
        elif raw in map(mark_key, self.marks):
            return raw
        elif not is_point(raw):
            hint = did_you_mean(raw, [*names, *filter(is_point, KEYS)])
            self.check.fault(path, f"{found_words(raw)} is no point or mark", "one of them", hint)
        elif not {raw, left_of(raw)} & set(self.points):
            self.check.fault(path, "this file gives no such point", "a point it gives")
        elif not {raw, left_of(raw)} & set(self.within):
            if left_of(raw) in self.untold:
                return None
            self.untold.add(left_of(raw))
            hint = "Give the point a within, or measured_within under [sheet] for all of them."
            self.check.fault(path, "nothing says how well this point was measured", "", hint)
        else:
            return raw
        return None


def _read_tape(check: Checker, path: Path, row: Mapping[str, Any], ends: _Ends) -> Tape | None:
    before = len(check.faults)
    for name in strange(row, TAPE_FIELDS):
        check.unknown((*path, name), TAPE_FIELDS)
    for name in ("between", "length", "within"):
        if name not in row:
            expected = _TWO_ENDS if name == "between" else "a number"
            check.fault((*path, name), "missing", expected)
    between = ends.read((*path, "between"), row["between"]) if "between" in row else None
    length, within = (
        check.number((*path, name), row[name], "length", over=0.0, most=most)
        if name in row
        else None
        for name, most in (("length", None), ("within", LOOSEST))
    )
    note = check.text((*path, "note"), row.get("note", ""))
    if between is None or length is None or within is None or before != len(check.faults):
        return None
    return Tape(between, length, within, note or "")
