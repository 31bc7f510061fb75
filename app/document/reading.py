"""From the text of a setup file to the setup, or to every fault in it."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Final, cast

from app.document.bounds import limit_ends
from app.document.checks import Checker, did_you_mean, found_words, spelt, strange
from app.document.ends import ENDS, key_in, name_in_end, of_end
from app.document.faults import Fault, SetupFaults
from app.document.heights import HEIGHT_KEYS
from app.document.keys import (
    ALL_KEYS,
    BY_PLACE,
    KEYS,
    is_measured_number,
    is_point,
    kind_of,
    value_name_of,
)
from app.document.model import FrozenMap, Limit, Setup, Units, Value, Within
from app.document.plan_pieces import PLAN_TABLES
from app.document.read_changes import ChangeReader
from app.document.read_heights import read_heights
from app.document.read_missing import missing_faults
from app.document.read_planes import read_planes
from app.document.read_plans import read_plans
from app.document.read_tapes import Taped, read_taped
from app.document.read_values import Tables, is_given, read_value, spring_kind
from app.document.schema import Key
from app.document.toml_layout import Layout, Path
from app.document.upgrades import FORMAT, UPGRADES, Upgrades, oldest, upgrade
from geometry.dataclass import dataclass

_TOP: Final = (
    *("format", "title", "units", "notes", "sheet", "car", *ENDS),
    *("plane", "marks", "tape", "proposal", "together", "change"),
)


@dataclass(frozen=True, slots=True)
class ParsedSetup:
    """A setup that was read, what it lacks when that was allowed, and its text's layout."""

    setup: Setup
    missing: tuple[Fault, ...]
    layout: Layout
    format: int = FORMAT


def read_text(
    text: str,
    name: str = "setup",
    *,
    limit_kinds: Mapping[str, str] | None = None,
    partial: bool = False,
    upgrades: Upgrades = UPGRADES,
) -> ParsedSetup:
    """Return the setup of a text; with `partial`, points not measured yet are no faults.

    `limit_kinds` names the results that can have a limit ("front.camber") with their kinds of
    quantity; without it limits are kept as typed and their names aren't checked.
    """
    try:
        tables = tomllib.loads(text)
        layout = Layout(text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
        from app.document.syntax import syntax_fault  # only for a mistake

        raise SetupFaults([syntax_fault(name, text, error)]) from None
    reader = _Reader(name, layout, tables, limit_kinds, upgrades)
    setup = reader.setup()
    missing = tuple(missing_faults(reader.check, reader.tables, reader.values))
    faults = reader.check.faults + ([] if partial else list(missing))
    if faults:
        raise SetupFaults(sorted(faults, key=lambda fault: fault.line or 0))
    return ParsedSetup(setup, missing, layout, reader.format)


class _Reader:
    """Reads one file: every method takes a part of it and notes what is wrong there."""

    def __init__(
        self,
        file: str,
        layout: Layout,
        tables: Tables,
        limit_kinds: Mapping[str, str] | None,
        upgrades: Upgrades,
    ) -> None:
        units: Units = "in" if tables.get("units") == "in" else "mm"
        self.check = Checker(file, layout, units)
        self.limit_kinds = limit_kinds
        self.values: dict[str, Value] = {}
        self.within: dict[str, Within] = {}
        self.point_notes: dict[str, str] = {}
        self.limits: dict[str, Limit] = {}
        self.format = self._format(tables, upgrades)
        self.tables = upgrade(tables, self.format, upgrades)
        self.spring = spring_kind(self.tables)

    def setup(self) -> Setup:
        """Return the setup, whole only if no fault was noted."""
        tables, check = self.tables, self.check
        for name in strange(tables, _TOP):
            check.unknown((name,), _TOP, _elsewhere((name,)))
        title = check.text(("title",), tables["title"]) if "title" in tables else None
        notes = check.text(("notes",), tables.get("notes", ""))
        if "units" in tables:
            check.choice(("units",), tables["units"], ("mm", "in"))
        for name in ("sheet", "car", *ENDS):
            if name in tables:
                self._walk((name,), check.table((name,), tables[name]))
        heights = read_heights(check, tables, self.values) if "proposal" in tables else {}
        reader = ChangeReader(check, tables, self.spring)
        taped = self._taped()
        changes = reader.changes() if "change" in tables else ()
        names = [change.name for change in changes]
        plans = read_plans(check, tables, self.values, names, self.limit_kinds)
        return Setup(
            title or "",
            check.units,
            notes or "",
            FrozenMap(self.values),
            FrozenMap(self.within | taped.within),
            FrozenMap(self.point_notes),
            FrozenMap(self.limits),
            changes,
            FrozenMap(heights),
            FrozenMap(taped.marks),
            taped.tapes,
            plans.wants,
            FrozenMap(plans.rooms),
            FrozenMap(plans.adjusters),
            FrozenMap(plans.aims),
            FrozenMap(plans.gauge),
            plans.together,
            plans.envelopes,
            plans.clearances,
            read_planes(check, tables, list(filter(is_point, self.values))),
        )

    def _taped(self) -> Taped:
        """Return marks and tapes; a tape needs to know how good the points at its ends are."""
        points = [key for key in ALL_KEYS if key.kind == "point" and is_given(self.tables, key)]
        names = [key.name for key in points]
        is_usual_given = is_given(self.tables, KEYS["sheet.measured_within"])  # well or not
        known_within = names if is_usual_given else list(self.within)
        return read_taped(self.check, self.tables, names, known_within)

    def _format(self, tables: Tables, upgrades: Upgrades) -> int:
        """Return the file's format; one that can't be read ends the reading at once."""
        raw, check = tables.get("format"), self.check
        if "format" not in tables:
            check.fault(("format",), "missing", f"format = {FORMAT}, as the file's first line")
        elif not isinstance(raw, int) or isinstance(raw, bool):
            check.fault(("format",), f"found {found_words(raw)}", f"a whole number: {FORMAT}")
        elif raw > FORMAT:
            check.fault(
                ("format",),
                f"this file is of format {found_words(raw)}, newer than this program, which reads "
                f"up to format {FORMAT}",
                "",
                "Nothing was changed. Open it with a newer version of the program.",
            )
            raise SetupFaults(check.faults)
        elif raw < oldest(upgrades):
            check.fault(
                ("format",), f"found {found_words(raw)}", f"a format from {oldest(upgrades)} on"
            )
        else:
            return raw
        return FORMAT

    def _walk(self, path: Path, table: Mapping[str, object]) -> None:
        """Read one table of keys, and the tables inside it."""
        for name, raw in table.items():
            here = (*path, name)
            key = BY_PLACE.get(cast(tuple[str, ...], here))
            if key is not None:
                self._keep(key, here, raw)
            elif here in {(end, "limits") for end in ENDS}:
                self._read_limits(here, self.check.table(here, raw))
            elif len(here) == 2 and name in PLAN_TABLES:
                continue  # read_plans reads it, once all values and changes are known
            elif any(place[: len(here)] == here for place in BY_PLACE):
                self._walk(here, self.check.table(here, raw))
            else:
                self.check.unknown(here, _names_under(path), _elsewhere(here))

    def _keep(self, key: Key, path: Path, raw: object) -> None:
        if isinstance(raw, dict) and (key.kind == "point" or is_measured_number(key)):
            value_name = value_name_of(key)
            raw = self._value_table(key, path, raw, value_name)
            path = (*path, value_name)
            if raw is None:
                return
        if key.kind == "leaves":
            value: Value | None = self.check.leaves(path, raw, self.within)
        else:
            value = read_value(self.check, key, path, raw, self.spring)
        if value is not None:
            self.values[key.name] = value

    def _value_table(
        self, key: Key, path: Path, raw: Mapping[str, object], value_name: str
    ) -> object:
        """Return the value of a point or number that carries an uncertainty or a note."""
        is_point = key.kind == "point"
        names = (value_name, "within", *(("note",) if is_point else ()))
        for name in strange(raw, names):
            self.check.unknown((*path, name), names)
        if "within" in raw:
            self._keep_within(key, (*path, "within"), raw["within"])
        if is_point and "note" in raw:
            note = self.check.text((*path, "note"), raw["note"])
            self.point_notes |= {key.name: note} if note else {}
        if value_name not in raw:
            example = "at = [x, y, z]" if is_point else "is = a number"
            self.check.fault((*path, value_name), "missing", example)
        return raw.get(value_name)

    def _keep_within(self, key: Key, path: Path, raw: object) -> None:
        if key.kind == "point":
            within = self.check.within(path, raw, "length")
        else:
            kind = kind_of(key.name, {"front.spring.kind": self.spring})
            within = self.check.number(path, raw, kind, least=0.0)
        self.within |= {} if within is None else {key.name: within}

    def _read_limits(self, path: Path, table: Mapping[str, object]) -> None:
        axle = cast(str, path[0])
        for name, raw in table.items():
            kinds, key = self.limit_kinds, key_in(axle, name)
            if kinds is not None and key not in kinds:
                known_names = [name_in_end(each) for each in of_end(axle, kinds)]
                self.check.unknown((*path, name), known_names)
                continue
            limit = self._limit((*path, name), raw, "plain" if kinds is None else kinds[key])
            self.limits |= {} if limit is None else {key: limit}

    def _limit(self, path: Path, raw: object, kind: str) -> Limit | None:
        check, (low_end, high_end) = self.check, limit_ends(kind)
        if not isinstance(raw, dict):
            most = check.number(path, raw, kind, least=0.0, most=high_end)
            return None if most is None else Limit.within(most, kind)
        for name in strange(raw, ("min", "max", "by")):
            check.unknown((*path, name), ("min", "max", "by"))
        ends = [
            check.number((*path, n), raw[n], kind, least=low_end, most=high_end)
            if n in raw
            else None
            for n in ("min", "max")
        ]
        if not raw.keys() & {"min", "max"}:
            check.fault(path, "neither min nor max is given", "at least one of them")
        low, high = ends
        if low is not None and high is not None and low > high:
            check.fault(path, f"min {raw['min']} is above max {raw['max']}", "min below max")
        by = check.text((*path, "by"), raw.get("by", ""))
        return Limit(low, high, kind, by or "")


def _names_under(path: Path) -> list[str]:
    """Return the names known in a table, in the order of the schema."""
    depth = len(path)
    names = {place[depth]: None for place in BY_PLACE if place[:depth] == path}
    return [*names, "limits", *PLAN_TABLES] if path in {(end,) for end in ENDS} else list(names)


def _elsewhere(path: Path) -> str:
    """Return where a name would belong that is right but stands in the wrong table."""
    name = path[-1]
    if name in HEIGHT_KEYS.values():
        return f"{name} belongs under [proposal]."
    if did_you_mean(str(name), _names_under(path[:-1])):
        return ""
    tables = [place[:-1] for place in BY_PLACE if place[-1] == name and place[0] == path[0]]
    tables += [place[:-1] for place in BY_PLACE if place[-1] == name]
    return f"{name} belongs under [{spelt(tables[0])}]." if tables else ""
