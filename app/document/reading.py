"""From the text of a setup file to the setup, or to every fault in it."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final, cast

from app.document.checks import Checker, did_you_mean, spelt, unit_words
from app.document.faults import Fault, SetupFaults
from app.document.keys import BY_PLACE, KEYS, kind_of, left_of, missing_keys
from app.document.model import Change, FrozenMap, Limit, Setup, Units, Value, Vec
from app.document.schema import Key
from app.document.syntax import syntax_fault
from app.document.toml_layout import Layout, Path
from app.document.upgrades import FORMAT, UPGRADES, Upgrades, oldest, upgrade

_TOP: Final = ("format", "title", "units", "notes", "sheet", "car", "front", "rear", "change")
_CHANGE: Final = ("name", "on", "parts", "toe", "note", "move", "set")
_AXLES: Final = ("front", "rear")


@dataclass(frozen=True, slots=True)
class Reading:
    """A setup that was read, what it lacks when that was allowed, and its text's layout."""

    setup: Setup
    missing: tuple[Fault, ...]
    layout: Layout
    format: int = FORMAT


def parse(text: str, name: str = "setup", *, limit_kinds: Mapping[str, str] | None = None) -> Setup:
    """Return the setup a text holds; raise SetupFaults with every fault found."""
    return read_text(text, name, limit_kinds=limit_kinds).setup


def read_text(
    text: str,
    name: str = "setup",
    *,
    limit_kinds: Mapping[str, str] | None = None,
    partial: bool = False,
    upgrades: Upgrades = UPGRADES,
) -> Reading:
    """Return the setup of a text; with `partial`, points not measured yet are no faults.

    `limit_kinds` names the results that can have a limit ("front.camber") with their kinds of
    quantity; without it limits are kept as typed and their names aren't checked.
    """
    try:
        tables = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
        raise SetupFaults([syntax_fault(name, text, error)]) from None
    layout = Layout(text)
    reader = _Reader(name, layout, tables, limit_kinds, upgrades)
    setup = reader.setup()
    missing = tuple(reader.missing())
    faults = reader.check.faults + ([] if partial else list(missing))
    if faults:
        raise SetupFaults(sorted(faults, key=lambda fault: fault.line or 0))
    return Reading(setup, missing, layout, reader.format)


class _Reader:
    """Reads one file: every method takes a part of it and notes what is wrong there."""

    def __init__(
        self,
        file: str,
        layout: Layout,
        tables: dict[str, Any],
        limit_kinds: Mapping[str, str] | None,
        upgrades: Upgrades,
    ) -> None:
        units: Units = "in" if tables.get("units") == "in" else "mm"
        self.check = Checker(file, layout, units)
        self.limit_kinds = limit_kinds
        self.values: dict[str, Value] = {}
        self.within: dict[str, float] = {}
        self.point_notes: dict[str, str] = {}
        self.limits: dict[str, Limit] = {}
        self.format = self._format(tables, upgrades)
        self.tables = upgrade(tables, self.format, upgrades)

    def setup(self) -> Setup:
        """Return the setup, whole only if no fault was noted."""
        tables, check = self.tables, self.check
        for name in tables.keys() - set(_TOP):
            check.unknown((name,), _TOP, _elsewhere((name,)))
        title = check.text(("title",), tables["title"]) if "title" in tables else None
        notes = check.text(("notes",), tables.get("notes", ""))
        if "units" in tables:
            check.choice(("units",), tables["units"], ("mm", "in"))
        for name in ("sheet", "car", *_AXLES):
            if name in tables:
                self._walk((name,), check.table((name,), tables[name]))
        changes = self._changes() if "change" in tables else ()
        return Setup(
            title or "",
            check.units,
            notes or "",
            FrozenMap(self.values),
            FrozenMap(self.within),
            FrozenMap(self.point_notes),
            FrozenMap(self.limits),
            changes,
        )

    def missing(self) -> Iterator[Fault]:
        """Return a fault for each key that must be given and isn't."""
        for name, expected in (("title", 'title = "…"'), ("units", '"mm" or "in"')):
            if name not in self.tables:
                yield self._lacks((name,), expected)
        if not any(axle in self.tables for axle in _AXLES):
            yield self._lacks(("front",), "a suspension, under [front] or [rear]")
        given = dict(self.values)
        if "front" in self.tables:
            given.setdefault("front.kind", "double wishbone")
        yield from (self._lacks_key(key) for key in missing_keys(given) if not self._is_given(key))
        if "front" in self.tables and not self._is_given(KEYS["front.kind"]):
            yield self._lacks_key(KEYS["front.kind"])
        yield from self._missing_for_switch(given)

    def _missing_for_switch(self, given: Mapping[str, Value]) -> Iterator[Fault]:
        """Return what a change needs that switches to the other kind of rear suspension."""
        for i, raw in enumerate(_list(self.tables.get("change"))):
            sets = _flat_table(raw.get("set") if isinstance(raw, dict) else None)
            kind = sets.get("rear.kind")
            if isinstance(kind, str) and kind != given.get("rear.kind"):
                switched = {**given, **{k: v for k, v in sets.items() if k in KEYS}}
                for key in missing_keys(cast(Mapping[str, Value], switched)):
                    if key.needs[0] == "rear.kind" and not self._is_given(key):
                        fault = self._lacks_key(key)
                        line = self.check.layout.line_of(("change", i, "set"))
                        hint = f'Change {i + 1} switches to "{kind}", which needs it.'
                        yield replace(fault, line=line, hint=hint)

    def _format(self, tables: dict[str, Any], upgrades: Upgrades) -> int:
        """Return the file's format; one that can't be read ends the reading at once."""
        raw, check = tables.get("format"), self.check
        if "format" not in tables:
            check.fault(("format",), "missing", f"format = {FORMAT}, as the file's first line")
        elif not isinstance(raw, int) or isinstance(raw, bool):
            check.fault(("format",), f"found {raw!r}", f"a whole number: {FORMAT}")
        elif raw > FORMAT:
            check.fault(
                ("format",),
                f"this file is of format {raw}, newer than this program, which reads up to "
                f"format {FORMAT}",
                "",
                "Nothing was changed. Open it with a newer version of the program.",
            )
            raise SetupFaults(check.faults)
        elif raw < oldest(upgrades):
            check.fault(("format",), f"found {raw}", f"a format from {oldest(upgrades)} on")
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
            elif here in (("front", "limits"), ("rear", "limits")):
                self._read_limits(here, self.check.table(here, raw))
            elif any(place[: len(here)] == here for place in BY_PLACE):
                self._walk(here, self.check.table(here, raw))
            else:
                self.check.unknown(here, _names_under(path), _elsewhere(here))

    def _keep(self, key: Key, path: Path, raw: object) -> None:
        if key.kind == "point" and isinstance(raw, dict):
            raw = self._point_table(key, path, raw)
            path = (*path, "at")
            if raw is None:
                return
        value = self._value(key, path, raw, self._kind(key))
        if value is not None:
            self.values[key.name] = value

    def _kind(self, key: Key) -> str:
        if not key.torsion:
            return key.kind
        spring = self.tables.get("front", {}).get("spring", {})
        return kind_of(key.name, {"front.spring.kind": spring.get("kind", "")})

    def _value(self, key: Key, path: Path, raw: object, kind: str) -> Value | None:
        check = self.check
        if kind == "point":
            return check.vector(path, raw, "length")
        if kind == "direction":
            return check.direction(path, raw)
        if kind == "choice":
            return check.choice(path, raw, key.choices)
        if kind == "leaves":
            return check.leaves(path, raw)
        if kind in ("text", "date"):
            return check.text(path, raw) if kind == "text" else check.day(path, raw)
        return check.number(path, raw, kind, key.over, key.least, key.most)

    def _point_table(self, key: Key, path: Path, raw: Mapping[str, object]) -> object:
        """Return the `at` of a point that carries an uncertainty or a note."""
        for name in raw.keys() - {"at", "within", "note"}:
            self.check.unknown((*path, name), ("at", "within", "note"))
        if "within" in raw:
            within = self.check.number((*path, "within"), raw["within"], "length", over=0.0)
            self.within |= {} if within is None else {key.name: within}
        if "note" in raw:
            note = self.check.text((*path, "note"), raw["note"])
            self.point_notes |= {key.name: note} if note else {}
        if "at" not in raw:
            self.check.fault((*path, "at"), "missing", "at = [x, y, z]")
        return raw.get("at")

    def _read_limits(self, path: Path, table: Mapping[str, object]) -> None:
        axle = cast(str, path[0])
        for name, raw in table.items():
            kinds, key = self.limit_kinds, f"{axle}.{name}"
            if kinds is not None and key not in kinds:
                known = [k.removeprefix(f"{axle}.") for k in kinds if k.startswith(f"{axle}.")]
                self.check.unknown((*path, name), known)
                continue
            limit = self._limit((*path, name), raw, "plain" if kinds is None else kinds[key])
            self.limits |= {} if limit is None else {key: limit}

    def _limit(self, path: Path, raw: object, kind: str) -> Limit | None:
        check = self.check
        if not isinstance(raw, dict):
            most = check.number(path, raw, kind, least=0.0)
            return None if most is None else Limit.within(most, kind)
        for name in raw.keys() - {"min", "max", "by"}:
            check.unknown((*path, name), ("min", "max", "by"))
        ends = [
            check.number((*path, n), raw[n], kind) if n in raw else None for n in ("min", "max")
        ]
        if not raw.keys() & {"min", "max"}:
            check.fault(path, "neither min nor max is given", "at least one of them")
        low, high = ends
        if low is not None and high is not None and low > high:
            check.fault(path, f"min {raw['min']} is above max {raw['max']}", "min below max")
        by = check.text((*path, "by"), raw.get("by", ""))
        return Limit(low, high, kind, by or "")

    def _changes(self) -> tuple[Change, ...]:
        changes: list[Change] = []
        taken: dict[str, int] = {}
        for i, (path, table) in enumerate(self.check.tables(("change",), self.tables["change"])):
            change = self._change(path, table)
            if change.name in taken:
                self.check.fault(
                    (*path, "name"),
                    f'"{change.name}" is also the name of change {taken[change.name] + 1}',
                    "a name of its own for each change",
                )
            elif change.name:
                taken[change.name] = i
            changes.append(change)
        return tuple(changes)

    def _change(self, path: Path, table: Mapping[str, object]) -> Change:
        check = self.check
        for name in table.keys() - set(_CHANGE):
            check.unknown((*path, name), _CHANGE)
        name = check.text((*path, "name"), table.get("name", ""))
        if name is not None and not name.strip():
            check.fault(
                (*path, "name"), "missing", 'a name for the change, as "Upper pivots lower"'
            )
        on = check.switch((*path, "on"), table.get("on", True))
        parts = check.choice((*path, "parts"), table.get("parts", "kept"), ("kept", "made to fit"))
        toe = check.choice((*path, "toe"), table.get("toe", "reset"), ("reset", "left"))
        note = check.text((*path, "note"), table.get("note", ""))
        moves = self._moves((*path, "move"), table["move"]) if "move" in table else {}
        sets = self._sets((*path, "set"), table["set"]) if "set" in table else {}
        return Change(
            name or "",
            on is not False,
            "made to fit" if parts == "made to fit" else "kept",
            "left" if toe == "left" else "reset",
            note or "",
            FrozenMap(moves),
            FrozenMap(sets),
        )

    def _moves(self, path: Path, raw: object) -> dict[str, Vec]:
        moves: dict[str, Vec] = {}
        for at, name, item in self._named(path, raw):
            if KEYS[name].kind != "point":
                self.check.fault(at, "this is no point", "a point to move; values go under set")
            elif not self._can_move(name):
                self.check.fault(at, "this file gives no such point", "a point it gives")
            else:
                move = self.check.vector(at, item, "length")
                moves |= {} if move is None else {name: move}
        return moves

    def _can_move(self, name: str) -> bool:
        sets = [
            _flat_table(c.get("set"))
            for c in _list(self.tables.get("change"))
            if isinstance(c, dict)
        ]
        added = {key for table in sets for key in table}
        return any(n in added or self._is_given(KEYS[n]) for n in (name, left_of(name)))

    def _sets(self, path: Path, raw: object) -> dict[str, Value]:
        sets: dict[str, Value] = {}
        for at, name, item in self._named(path, raw):
            key = KEYS[name]
            if not key.settable:
                self.check.fault(at, "this says what is there; a change can't set it", "")
                continue
            value = self._value(key, at, item, self._kind(key))
            sets |= {} if value is None else {name: value}
        return sets

    def _named(self, path: Path, raw: object) -> Iterator[tuple[Path, str, object]]:
        """Return path, key and raw value of the keys of a change's table that are known."""
        given: set[str] = set()
        for at, name, item in _flat(path, self.check.table(path, raw)):
            if name in given:
                self.check.fault(at, f"{name} is given twice", "each key once")
            elif name in KEYS:
                given.add(name)
                yield at, name, item
            else:
                plain = ".".join(p for p in name.split(".") if not p.startswith("points"))
                known = plain if plain in KEYS else ""
                self.check.unknown(at, KEYS, f"Did you mean {known}?" if known else "")

    def _is_given(self, key: Key) -> bool:
        """Tell whether the file has something at the key's place, right or wrong."""
        here: object = self.tables
        for part in key.place:
            if not isinstance(here, dict) or part not in here:
                return False
            here = here[part]
        return True

    def _lacks(self, path: Path, expected: str) -> Fault:
        line = self.check.layout.line_of(path)
        return Fault(self.check.file, line, spelt(path), "missing", expected)

    def _lacks_key(self, key: Key) -> Fault:
        shape = {"point": "[x, y, z]", "direction": "[x, y, z]", "leaves": "leaves"}
        unit = unit_words(key.kind, self.check.units) if key.is_number else ""
        if key.choices:
            shape[key.kind] = " or ".join(f'"{choice}"' for choice in key.choices)
        return self._lacks(key.place, f"{key.title}: {shape.get(key.kind, 'a number' + unit)}")


def _list(raw: object) -> list[Any]:
    return raw if isinstance(raw, list) else []


def _flat(
    path: Path, table: Mapping[str, object], above: str = ""
) -> Iterator[tuple[Path, str, object]]:
    """Return the entries of a change's table, whose keys may be quoted or dotted."""
    for name, raw in table.items():
        full = f"{above}{name}"
        if isinstance(raw, dict) and full not in KEYS:
            yield from _flat((*path, name), raw, f"{full}.")
        else:
            yield (*path, name), full, raw


def _flat_table(raw: object) -> dict[str, object]:
    if not isinstance(raw, dict):
        return {}
    return {name: item for _, name, item in _flat((), raw)}


def _names_under(path: Path) -> list[str]:
    """Return the names known in a table, in the order of the schema."""
    depth = len(path)
    names = {place[depth]: None for place in BY_PLACE if place[:depth] == path}
    return [*names, "limits"] if path in (("front",), ("rear",)) else list(names)


def _elsewhere(path: Path) -> str:
    """Return where a name would belong that is right but stands in the wrong table."""
    name = path[-1]
    if did_you_mean(str(name), _names_under(path[:-1])):
        return ""
    tables = [place[:-1] for place in BY_PLACE if place[-1] == name and place[0] == path[0]]
    tables += [place[:-1] for place in BY_PLACE if place[-1] == name]
    return f"{name} belongs under [{spelt(tables[0])}]." if tables else ""
