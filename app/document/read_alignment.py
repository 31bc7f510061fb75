"""Reading how a car is adjusted, what its alignment shall be, and what a gauge read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import radians
from typing import Any, Final

from app.document.address import SIDES
from app.document.checks import MISSING, found_words
from app.document.ends import ALIGNED_END, END, key_in, name_in_end, of_end
from app.document.keys import KEYS, is_point
from app.document.plan_pieces import (
    ADJUSTER_FIELDS,
    AIM_FIELDS,
    ALIGNED,
    GAUGE_FIELDS,
    LENGTH_AIMS,
    LOCK_FIELDS,
    RODS,
    SHIM_FIELDS,
    TOE_AIMS,
    EndReader,
)
from app.document.plans import Adjuster, Aim, Gauge, Span
from app.document.toml_layout import Path

WITH_ADJUSTER: Final = "given with this adjuster"
_ON_A_ROD: Final = "link and strut rod"
_THICKEST: Final = 100.0  # mm: no pack of shims, no reach of an adjuster and no toe is longer
_COARSEST: Final = 10.0  # mm a turn
_MOST_SIZES: Final = 24  # of single shims that are tried together
_FINEST: Final = 1e-5  # share of the most that a figure may be; no gauge reads finer
_LONGEST: Final = 40  # letters of a name
_WIDEST: Final = radians(60.0)  # no camber, caster, toe or lock of a car is


class AlignmentReader(EndReader):
    """Reads adjusters, targets and gauge."""

    def adjusters(self) -> dict[str, Adjuster]:
        """Return the adjusters, by key."""
        adjusters: dict[str, Adjuster] = {}
        for name, raw in self.part("adjusters").items():
            path: Path = (self.end, "adjusters", name)
            self._check_name(path, name)
            adjuster = self._adjuster(path, name, raw)
            if adjuster is not None:
                self._check_places(path, adjuster, adjusters)
            adjusters |= self.kept(key_in(self.end, name), adjuster)
        return adjusters

    def _check_name(self, path: Path, name: str) -> None:
        """Note a name that no key, call or table could say, or that is a point's."""
        if not name.isidentifier() or len(name) > _LONGEST:
            found = f"{found_words(name)} can't be an adjuster's name"
            self.check.fault(path, found, "letters, digits and _ alone, as upper_shims")
        elif is_point(key_in(self.end, name)):
            found = f"{name} is a point's name"
            self.check.fault(path, found, f"a name of its own, as {name}_shims")

    def _check_places(self, path: Path, adjuster: Adjuster, others: Mapping[str, Adjuster]) -> None:
        """Note a bolt that another adjuster has already: nobody could tell which is turned."""
        for key in adjuster.at:
            other = next((name for name, each in others.items() if key in each.at), None)
            if other is not None:
                point = name_in_end(key)
                found = f"{point} has the adjuster {name_in_end(other)} already"
                expected = "one adjuster at each bolt: take one of them away, or put it elsewhere"
                self.check.fault((*path, "at"), found, expected)

    def _adjuster(self, path: Path, name: str, raw: object) -> Adjuster | None:
        before = len(self.check.faults)
        table = self.inline(path, raw, '{ at = "lower_rear", reach = 6.0 }')
        is_rod = name in RODS
        fields = ADJUSTER_FIELDS[-2:] if is_rod else ADJUSTER_FIELDS[:-1]
        self.refuse_strange(path, table, fields)
        at = () if is_rod else self._pivots((*path, "at"), table)
        fitted, right = (
            self.numbers((*path, n), table[n], "length", least=0.0, most=_THICKEST)
            if n in table
            else ()
            for n in ("fitted", "fitted_right")
        )
        have = self.numbers((*path, "have"), table["have"], "ratio", 0.0) if "have" in table else ()
        sizes = self._sizes((*path, "sizes"), table["sizes"]) if "sizes" in table else ()
        most, apart, pitch = (
            self.positive((*path, name), table.get(name), "length", greatest)
            for name, greatest in (("most", _THICKEST), ("apart", _THICKEST), ("pitch", _COARSEST))
        )
        inboard = self.check.switch((*path, "inboard"), table.get("inboard", False))
        reach = self._reach((*path, "reach"), table["reach"]) if "reach" in table else None
        if name == "strut_rod":
            self._check_strut_rod(path)
        if before == len(self.check.faults):
            self._check_whole(path, table, is_rod, len(at))
        if before != len(self.check.faults):
            return None
        return Adjuster(at, bool(inboard), fitted, right, sizes, have, most, apart, reach, pitch)

    def _pivots(self, path: Path, table: Mapping[str, Any]) -> tuple[str, ...]:
        """Return the pivots on the body at which an adjuster is: an eccentric at one only."""
        at, pivots = self.points(path, table.get("at")), END[self.end].pivots
        for key in at:
            name = name_in_end(key)
            if KEYS[key].on_part or (pivots and name not in pivots):
                expected = ", ".join(pivots) or "a point of the body"
                self.check.fault(path, f"{name} is no pivot of an arm on the body", expected)
        if len(at) != len(set(at)):
            self.check.fault(path, "found the same pivot twice", "each pivot once")
        elif len(at) == 2 and "reach" in table:
            self.check.fault(path, "found two pivots", "one: an adjuster of its own for each")
        return at

    def _sizes(self, path: Path, raw: object) -> tuple[float, ...]:
        """Return how thick shims are, each over 0; numbers notes what is no list."""
        if not isinstance(raw, list) or not raw:
            return self.numbers(path, raw, "length")
        if len(raw) > _MOST_SIZES:
            self.check.fault(path, f"found {len(raw)} sizes", f"at most {_MOST_SIZES}")
            return ()
        read = [self.positive((*path, i), each, "length", _THICKEST) for i, each in enumerate(raw)]
        return tuple(size for size in read if size is not None)

    def _reach(self, path: Path, raw: object) -> Span | None:
        """Return from and to, counted from where it is; one number is as much each way."""
        if not isinstance(raw, list):
            each_way = self.positive(path, raw, "length", _THICKEST)
            return None if each_way is None else (-each_way, each_way)
        ends = self.numbers(path, raw, "length", -_THICKEST, _THICKEST)
        reach = self.span(path, raw, "length") if len(ends) == len(raw) else None
        if reach is not None and not reach[0] <= 0.0 <= reach[1]:
            found = f"found {raw[0]} to {raw[1]}"
            self.check.fault(path, found, "from 0 or less to 0 or more: 0 is where it is now")
        return reach

    def _check_strut_rod(self, path: Path) -> None:
        """Note a strut rod of a car whose lower arm has none, or none that is measured."""
        arm = self.values.get(key_in(self.end, "lower_arm"))
        if arm is not None and arm != _ON_A_ROD:
            found = f'this car\'s lower arm is of the kind "{arm}": it has no strut rod'
            self.check.fault(path, found, f'lower_arm = "{_ON_A_ROD}", or no strut_rod')
        elif key_in(self.end, "strut_joint") not in self.values:
            found = "the file doesn't give where the strut rod is bolted to the link"
            self.check.fault(path, found, "the point strut_joint")

    def _check_whole(self, path: Path, table: Mapping[str, Any], is_rod: bool, pivots: int) -> None:
        """Note what an adjuster lacks, and lists whose lengths don't fit."""
        if is_rod or "reach" in table:
            needed: tuple[str, ...] = ("reach", "pitch") if is_rod else ("at", "reach")
            shims = [name for name in SHIM_FIELDS[2:] if name in table]
            if shims:
                self.check.fault(path, f"found reach and {shims[0]}", "shims, or a reach")
        else:
            needed = ("at", "fitted", "sizes")
        for name in needed:
            if name not in table:
                self.check.fault((*path, name), MISSING, WITH_ADJUSTER)
        for name, count, what in (
            ("fitted", pivots, "pivot"),
            ("fitted_right", pivots, "pivot"),
            ("have", len(table.get("sizes", ())), "size"),
        ):
            if name in table and len(table[name]) != count:
                found = f"found {len(table[name])}"
                self.check.fault((*path, name), found, f"one for each {what}: {count}")
        for place, pieces in enumerate(table.get("have", ())):
            if pieces != int(pieces):
                at = (*path, "have", place)
                self.check.fault(at, f"found {pieces}", "how many pieces there are, a whole number")

    def aims(self) -> dict[str, Aim]:
        """Return what alignment figures shall be, by key."""
        aims: dict[str, Aim] = {}
        for name, raw in self.part("targets").items():
            path: Path = (self.end, "targets", name)
            kind = "plain" if name in LENGTH_AIMS else self._aim_kind(path, name)
            if kind is not None:
                aims |= self.kept(key_in(self.end, name), self._aim(path, raw, kind))
        if self.end == ALIGNED_END:
            self._check_aims([name_in_end(key) for key in aims])
        return aims

    def _check_aims(self, names: Sequence[str]) -> None:
        """Note targets that no adjuster sets, and two of the toe."""
        for name in names:
            if name not in ALIGNED:
                path: Path = (self.end, "targets", name)
                self.check.fault(path, "no adjuster sets this", f"one of {', '.join(ALIGNED)}")
        toes = [name for name in names if name in TOE_AIMS]
        if len(toes) > 1:
            self.check.fault((self.end, "targets", toes[1]), f"found {toes[0]} too", "one of them")

    def _aim_kind(self, path: Path, name: str) -> str | None:
        if self.kinds is None:
            return "plain"
        if (key := key_in(self.end, name)) in self.kinds:
            return self.kinds[key]
        known = [name_in_end(each) for each in of_end(self.end, self.kinds)]
        self.check.unknown(path, [*known, *LENGTH_AIMS])
        return None

    def _aim(self, path: Path, raw: object, kind: str) -> Aim | None:
        before = len(self.check.faults)
        table = self.inline(path, raw, "{ is = 0.0, within = 0.25 }")
        self.refuse_strange(path, table, AIM_FIELDS)
        for name in AIM_FIELDS:
            if name not in table:
                self.check.fault((*path, name), "missing", f"a number{self.unit_words(kind)}")
        if before != len(self.check.faults):
            return None
        most = _THICKEST if kind == "plain" else _WIDEST if kind == "angle" else None
        least = None if most is None else -most
        value = self.check.number((*path, "is"), table["is"], kind, least=least, most=most)
        within = self.positive((*path, "within"), table["within"], kind, most)
        if within is not None and most is not None and within < _FINEST * most:
            found = f"found {table['within']}"
            self.check.fault((*path, "within"), found, "what a gauge can tell: more than that")
            return None
        return None if value is None or within is None else Aim(value, within, kind)

    def gauge(self) -> dict[str, Gauge]:
        """Return what the gauge read, by end and side."""
        gauges: dict[str, Gauge] = {}
        table = self.part("gauge")
        self.refuse_strange((self.end, "gauge"), table, SIDES)
        for side in SIDES:
            if side in table:
                path: Path = (self.end, "gauge", side)
                gauges |= self.kept(key_in(self.end, side), self._gauge(path, table[side]))
        return gauges

    def _gauge(self, path: Path, raw: object) -> Gauge | None:
        before = len(self.check.faults)
        table = self.inline(path, raw, "{ camber = 0.8, caster = 2.1, toe = 0.15 }")
        self.refuse_strange(path, table, GAUGE_FIELDS)
        if "toe" in table and "toe_mm" in table:
            self.check.fault(path, "found toe and toe_mm", "one of them")
        locks = cambers = caster = None
        if isinstance(table.get("caster"), dict):
            locks, cambers = self._locks((*path, "caster"), table["caster"])
        else:
            caster = self._angle(path, table, "caster")
        camber, toe = (self._angle(path, table, name) for name in ("camber", "toe"))
        length = (
            self.check.number(
                (*path, "toe_mm"), table["toe_mm"], "plain", least=-_THICKEST, most=_THICKEST
            )
            if "toe_mm" in table
            else None
        )
        after = self._after((*path, "after"), table["after"]) if "after" in table else ()
        if before != len(self.check.faults):
            return None
        return Gauge(camber, caster, toe, length, locks, cambers, after)

    def _after(self, path: Path, raw: object) -> tuple[tuple[str, float], ...]:
        """Return what an alignment had done by then: mm by a pack's bolt, or by an adjuster."""
        table = self.inline(path, raw, "{ upper_front = 2.5, tie_rod = -0.8 }")
        self.refuse_strange(path, table, self._turned_names())
        read = {
            name: self.check.number(
                (*path, name), number, "length", least=-_THICKEST, most=_THICKEST
            )
            for name, number in table.items()
        }
        return tuple((name, amount) for name, amount in read.items() if amount is not None)

    def _turned_names(self) -> list[str]:
        """Return what this end's adjusters are told by: packs by their bolts, others by name."""
        names: list[str] = []
        for name, raw in self.part("adjusters").items():
            table = raw if isinstance(raw, dict) else {}
            at = table.get("at") if "sizes" in table else name
            names += at if isinstance(at, list) else [at] if isinstance(at, str) else []
        return names

    def _angle(self, path: Path, table: Mapping[str, Any], name: str) -> float | None:
        if name not in table:
            return None
        return self.check.number((*path, name), table[name], "angle", least=-_WIDEST, most=_WIDEST)

    def _locks(self, path: Path, table: Mapping[str, Any]) -> tuple[Span | None, Span | None]:
        self.refuse_strange(path, table, LOCK_FIELDS)
        pairs: list[Span | None] = []
        for name in LOCK_FIELDS:
            numbers = self.numbers((*path, name), table.get(name), "angle", -_WIDEST, _WIDEST)
            if len(numbers) != 2 or (name == "at" and numbers[0] == numbers[1]):
                self.check.fault((*path, name), "these aren't two", "two numbers in degrees")
                pairs.append(None)
            else:
                pairs.append((numbers[0], numbers[1]))
        return pairs[0], pairs[1]
