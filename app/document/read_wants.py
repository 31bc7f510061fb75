"""Reading what is wanted of a car, and what may move for it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from app.document.address import AXES
from app.document.bounds import limit_ends
from app.document.checks import did_you_mean, found_words
from app.document.ends import key_in, name_in_end, of_end
from app.document.keys import KEYS, is_point, kind_of, number_row
from app.document.plan_pieces import BY_ADJUSTER, ROOM_FIELDS, VALUE_FIELDS, WANT_FIELDS, EndReader
from app.document.plans import Room, Want
from app.document.toml_layout import Path


class WantReader(EndReader):
    """Reads wants and room."""

    def wants(self) -> list[Want]:
        """Return what is wanted."""
        if "want" not in self.table:
            return []
        rows = self.check.tables((self.end, "want"), self.table["want"])
        return [want for path, row in rows if (want := self._want(path, row)) is not None]

    def _want(self, path: Path, row: Mapping[str, Any]) -> Want | None:
        before = len(self.check.faults)
        self.refuse_strange(path, row, WANT_FIELDS)
        kind = self.result_kind((*path, "result"), row.get("result"))
        told = [name for name in ("is", "at_least", "at_most", "keep") if name in row]
        if not told or ("is" in told and len(told) > 1) or ("keep" in told and len(told) > 1):
            words = f"found {', '.join(told)}" if told else "neither of them is given"
            self.check.fault(path, words, "is, keep, or at_least and at_most")
        low, high = limit_ends(kind)
        ends = {
            name: self.check.number((*path, name), row[name], kind, least=low, most=high)
            for name in ("is", "at_least", "at_most")
            if name in row
        }
        at_least, at_most = ends.get("at_least"), ends.get("at_most")
        if at_least is not None and at_most is not None and at_least > at_most:
            words = f"at_least {row['at_least']} is above at_most {row['at_most']}"
            self.check.fault(path, words, "at_least below at_most")
        within = self.positive((*path, "within"), row.get("within"), kind)
        weight = self.positive((*path, "weight"), row.get("weight"), "ratio")
        keep = self.check.switch((*path, "keep"), row["keep"]) if "keep" in row else False
        if keep is False and "keep" in row:
            self.check.fault((*path, "keep"), "found false", "true, or no keep at all")
        if before != len(self.check.faults):
            return None
        name = key_in(self.end, row["result"])
        is_kept = bool(keep)
        value = ends.get("is")
        return Want(name, value, at_least, at_most, is_kept, within, weight or 1.0, kind)

    def result_kind(self, path: Path, raw: object) -> str:
        """Return the kind of quantity of a result; a name that isn't one is a fault."""
        if not isinstance(raw, str):
            found = "missing" if raw is None else f"found {found_words(raw)}"
            self.check.fault(path, found, "a result's name, as under limits")
            return "plain"
        if self.kinds is None:
            return "plain"
        key = key_in(self.end, raw)
        if key not in self.kinds:
            names = [name_in_end(each) for each in of_end(self.end, self.kinds)]
            self.check.fault(
                path, f"{found_words(raw)} is no result", "one of them", did_you_mean(raw, names)
            )
            return "plain"
        return self.kinds[key]

    def rooms(self) -> dict[str, Room]:
        """Return what may move, by key."""
        rooms: dict[str, Room] = {}
        for name, raw in self.part("room").items():
            path: Path = (self.end, "room", name)
            key = key_in(self.end, name)
            if raw == BY_ADJUSTER:
                rooms |= self._room_of_adjuster(path, name)
            elif is_point(key):
                rooms |= self.kept(key, self._room_of_point(path, key, raw))
            elif number_row(key) is not None:
                rooms |= self.kept(key, self._room_of_value(path, key, raw))
            else:
                known = [name_in_end(each) for each in of_end(self.end, KEYS)]
                self.check.unknown(path, known)
        return rooms

    def _room_of_adjuster(self, path: Path, name: str) -> dict[str, Room]:
        adjusters = self.part("adjusters")
        if name not in adjusters:
            hint = did_you_mean(name, adjusters)
            self.check.fault(path, "this end has no such adjuster", "one of them", hint)
            return {}
        return {key_in(self.end, name): Room(by_adjuster=True)}

    def _room_of_point(self, path: Path, key: str, raw: object) -> Room | None:
        before = len(self.check.faults)
        table = self.inline(path, raw, "{ z = [-30, 5] }")
        self.refuse_strange(path, table, ROOM_FIELDS)
        self.refuse_unmeasured(path, key)
        spans = {
            axis: self.span((*path, axis), table[axis], "length") for axis in AXES if axis in table
        }
        alike = ""
        if "alike" in table:
            alike = self.point((*path, "alike"), table["alike"]) or ""
            if alike == key:
                self.check.fault((*path, "alike"), "this is the point itself", "another point")
        if not table.keys() & set(ROOM_FIELDS) and before == len(self.check.faults):
            self.check.fault(path, "no room is given", "x, y or z, or alike")
        if before != len(self.check.faults):
            return None
        return Room(spans.get("x"), spans.get("y"), spans.get("z"), alike)

    def _room_of_value(self, path: Path, key: str, raw: object) -> Room | None:
        kind = kind_of(key, self.values)
        if isinstance(raw, list):
            span = self.span(path, raw, kind)
            if span is None or not self._can_be(key, dict(enumerate(raw)), path, kind):
                return None
            return Room(span=span)
        before = len(self.check.faults)
        table = self.inline(path, raw, "[300, 340]")
        self.refuse_strange(path, table, VALUE_FIELDS)
        if "steps" in table:
            steps = self.numbers((*path, "steps"), table["steps"], kind)
            if steps:
                self._can_be(key, dict(enumerate(table["steps"])), (*path, "steps"), kind)
            return Room(steps=tuple(sorted(steps))) if before == len(self.check.faults) else None
        for name in ("from", "to"):
            if name not in table:
                self.check.fault((*path, name), "missing", f"a number{self.unit_words(kind)}")
        if before != len(self.check.faults):
            return None
        ends = {name: table[name] for name in ("from", "to")}
        span = self.span(path, [*ends.values()], kind)
        if span is None or not self._can_be(key, ends, path, kind):
            return None
        return Room(span=span)

    def _can_be(
        self, key: str, numbers: Mapping[int, Any] | Mapping[str, Any], path: Path, kind: str
    ) -> bool:
        """Note numbers that the value can't be, as a length below 0."""
        bounds, before = number_row(key), len(self.check.faults)
        if bounds is None:
            raise KeyError(key)
        for place, number in numbers.items():
            at: Path = (*path, place)
            self.check.number(at, number, kind, bounds.over, bounds.least, bounds.most)
        return before == len(self.check.faults)
