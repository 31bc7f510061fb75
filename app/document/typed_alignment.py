"""Adjusters, targets and readings as they are typed, read as the file's own reader would.

What is typed can therefore be saved and read again. Each text has a field's name, and what can't be
read is told under it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, Final, Literal

from app.document.address import SIDES
from app.document.ends import ALIGNED_END, is_in, key_in, name_in_end, of_end
from app.document.entries import OVER_NOUGHT, EntryError, parse_value
from app.document.model import FrozenMap, Setup, Units
from app.document.noting import Noting
from app.document.plan_pieces import ANGLES, Kinds
from app.document.plans import Gauge
from app.document.quantities import QUANTITIES
from app.document.read_alignment import WITH_ADJUSTER, AlignmentReader
from app.document.toml_layout import Path
from geometry.dataclass import dataclass

Kind = Literal["shims", "eccentric", "rod"]
ToeKind = Literal["toe", "toe_total", "toe_mm", "toe_total_mm"]
Texts = Mapping[str, str]
After = tuple[tuple[str, float], ...]

TOE_KINDS: Final[tuple[ToeKind, ...]] = ("toe_total", "toe", "toe_total_mm", "toe_mm")
LISTS: Final = ("fitted", "fitted_right", "sizes", "have")
WAYS: Final = ("low", "high")  # of a reach: outboard and inboard, or shorter and longer
_NEEDED: Final = {
    "fitted": "Type how thick each bolt's pack is now, 0 for none.",
    "sizes": "Type how thick single shims are, as 0.5 1 2.",
    "low": "Type how far it goes this way, without a sign; 0 for not at all.",
    "high": "Type how far it goes this way, without a sign; 0 for not at all.",
    "pitch": "Type how much longer one turn makes it.",
}
_PLAIN: Final = {WITH_ADJUSTER: "It is missing."}


@dataclass(frozen=True)
class TypedAdjuster:
    """An adjuster as typed: its texts by the names of the file's fields, `low` and `high`."""

    name: str  # "upper_shims", without its end
    kind: Kind
    at: tuple[str, ...] = ()  # "upper_front"
    inboard: bool = True
    texts: Texts = FrozenMap()

    def field(self, name: str) -> str:
        """Return what a field of it is called."""
        return f"{self.name}.{name}"


@dataclass(frozen=True)
class TypedAlignment:
    """All of it as typed: `targets` and `gauge` by field, as "camber.is" and "left.camber"."""

    adjusters: tuple[TypedAdjuster, ...] = ()
    targets: Texts = FrozenMap()
    gauge: Texts = FrozenMap()
    target_toe: ToeKind = "toe_total"
    gauge_toe: ToeKind = "toe"
    by_locks: bool = False
    after: Mapping[str, After] = FrozenMap()  # by side: what was done when the gauge read this


@dataclass(frozen=True)
class ReadAlignment:
    """The setup as far as it can be read, and what can't be, by field, in words."""

    setup: Setup
    errors: Mapping[str, str]


def read_typed(
    before: Setup, typed: TypedAlignment, units: Units, kinds: Kinds, decimal: str = "."
) -> ReadAlignment:
    """Return the setup with what is typed in units; fields that can't be read are told.

    What the file says of targets that no adjuster sets, and of the rear, stays.
    """
    return _Reader(before, typed, units, kinds, decimal).read()


def split_list(text: str) -> list[str]:
    """Return the numbers of a list: apart by spaces, semicolons, or commas before a space."""
    return [part for part in re.split(r"[\s;]+", re.sub(r",\s+", " ", text)) if part]


class _Reader:
    def __init__(
        self, before: Setup, typed: TypedAlignment, units: Units, kinds: Kinds, decimal: str
    ) -> None:
        self.before, self.typed, self.units = before, typed, units
        self.kinds, self.decimal = kinds, decimal
        self.errors: dict[str, str] = {}
        typist = _Typist(before, units, decimal)
        self.start, self.values = typist.typed(), typist.values

    def read(self) -> ReadAlignment:
        tables = {
            "adjusters": {each.name: self._adjuster(each) for each in self.typed.adjusters},
            "targets": self._targets(),
            "gauge": dict(self._gauges()),
        }
        start = self.start
        check = Noting(self.before.units, _PLAIN)
        reader = AlignmentReader(check, ALIGNED_END, tables, self.before.readings, self.kinds)
        adjusters, aims, gauge = reader.adjusters(), reader.aims(), reader.gauge()
        for path, words in check.notes:
            field = self._field_of(path)
            self.errors.setdefault(field, words)
        before, typed = self.before, self.typed
        for each in typed.adjusters:  # what wasn't touched keeps its last digit
            if each in start.adjusters:
                key = key_in(ALIGNED_END, each.name)
                adjusters[key] = before.adjusters[key]
        setup = before.having(adjusters=self._kept(before.adjusters, adjusters))
        if (typed.targets, typed.target_toe) != (start.targets, start.target_toe):
            setup = setup.having(aims=self._kept(before.aims, aims, self._is_typed_aim))
        how = (typed.gauge, typed.gauge_toe, typed.by_locks)
        if how == (start.gauge, start.gauge_toe, start.by_locks):
            gauge = of_end(ALIGNED_END, before.gauge)
        gauge = {
            key: replace(each, after=typed.after.get(name_in_end(key), ()))
            for key, each in gauge.items()
        }
        if gauge != of_end(ALIGNED_END, before.gauge):
            setup = setup.having(gauge=self._kept(before.gauge, gauge))
        return ReadAlignment(setup, self.errors)

    def _kept(self, before: Mapping[str, Any], read: Mapping[str, Any], own: Any = None) -> Any:
        """Return what isn't typed here as it was, and what was read."""
        is_own = own or (lambda key: is_in(ALIGNED_END, key))
        rest = {key: value for key, value in before.items() if not is_own(key)}
        return FrozenMap({**rest, **read})

    def _is_typed_aim(self, key: str) -> bool:
        return is_in(ALIGNED_END, key) and name_in_end(key) in (*ANGLES, *TOE_KINDS)

    def _field_of(self, path: Path) -> str:
        """Return the field that a path of the file is about."""
        _, table, *rest = map(str, path)
        if table == "adjusters":
            return ".".join(rest[:2])
        if table == "targets":
            name = "toe" if rest[0] in TOE_KINDS else rest[0]
            return f"targets.{'.'.join([name, *(rest[1:] or ['is'])])}"
        side, *rest = rest
        name = {"toe_mm": "toe", "at": "lock"}.get(rest[0] if rest else "", "".join(rest[:1]))
        return f"gauge.{side}.{name}"

    # --- numbers ---

    def _number(
        self, field: str, text: str, kind: str, over: bool = False, plain_mm: bool = False
    ) -> float | None:
        """Return a typed number in the file's units, or in mm; None where there is none."""
        if not text.strip():
            return None
        try:
            known = self.values.get((text.strip(), kind))
            value = known or parse_value(text, kind, self.units, decimal=self.decimal)
            if over and value <= 0.0:
                raise EntryError(OVER_NOUGHT)
        except EntryError as error:
            self.errors.setdefault(field, str(error))
            return None
        return value if plain_mm else value / QUANTITIES[kind].factor(self.before.units)

    def _numbers(self, field: str, text: str, kind: str) -> list[float]:
        parts = split_list(text)
        read = [self._number(field, part, kind) for part in parts]
        numbers = [number for number in read if number is not None]
        if any(number < 0.0 for number in numbers):
            self.errors.setdefault(field, "No number here can be less than 0.")
        return [int(n) if kind == "ratio" and n == int(n) else n for n in numbers]

    # --- adjusters ---

    def _adjuster(self, typed: TypedAdjuster) -> dict[str, Any]:
        """Return an adjuster as a table of the file; what is missing is told."""
        table: dict[str, Any] = {}
        if typed.kind != "rod":
            table["at"] = list(typed.at) if len(typed.at) != 1 else typed.at[0]
        if typed.kind == "shims":
            table |= self._shims(typed)
            return table
        pitch = ("pitch",) if typed.kind == "rod" else ()
        self._refuse_missing(typed, (*WAYS, *pitch))
        read = {name: self._length(typed, name, over=name in pitch) for name in (*WAYS, *pitch)}
        for name in WAYS:
            if (read[name] or 0.0) < 0.0:
                self.errors.setdefault(typed.field(name), _NEEDED[name])
        low, high = (abs(read[name] or 0.0) for name in WAYS)
        table["reach"] = [-low + 0.0, high]
        return table | {name: read[name] or 1.0 for name in pitch}

    def _length(self, typed: TypedAdjuster, name: str, over: bool) -> float | None:
        return self._number(typed.field(name), typed.texts.get(name, ""), "length", over)

    def _shims(self, typed: TypedAdjuster) -> dict[str, Any]:
        table: dict[str, Any] = {"inboard": True} if typed.inboard else {}
        self._refuse_missing(typed, ("fitted", "sizes"))
        for name in LISTS:
            text = typed.texts.get(name, "")
            kind = "ratio" if name == "have" else "length"
            if text.strip():
                table[name] = self._numbers(typed.field(name), text, kind)
        for name in ("most", "apart"):
            number = self._length(typed, name, over=True)
            table |= {} if number is None else {name: number}
        count = len(typed.at)
        if typed.field("fitted") in self.errors:
            table["fitted"] = [0.0] * count
        if typed.field("sizes") in self.errors or not table.get("sizes"):
            table["sizes"] = [1.0]
            table.pop("have", None)
        return table

    def _refuse_missing(self, typed: TypedAdjuster, names: tuple[str, ...]) -> None:
        for name in names:
            if not typed.texts.get(name, "").strip():
                self.errors.setdefault(typed.field(name), _NEEDED[name])

    # --- targets and readings ---

    def _targets(self) -> dict[str, Any]:
        tables: dict[str, Any] = {}
        for name in (*ANGLES, "toe"):
            kind = self.typed.target_toe if name == "toe" else name
            is_length = kind.endswith("_mm")
            texts = {n: self.typed.targets.get(f"{name}.{n}", "") for n in ("is", "within")}
            if not any(text.strip() for text in texts.values()):
                continue
            table: dict[str, float] = {}
            for field, text in texts.items():
                at = f"targets.{name}.{field}"
                what = "length" if is_length else "angle"
                number = self._number(at, text, what, field == "within", plain_mm=is_length)
                if number is not None:
                    table[field] = number
                elif not text.strip():
                    words = "what it shall be" if field == "is" else "how near is near enough"
                    self.errors.setdefault(at, f"Type {words}.")
            if len(table) == len(texts):
                tables[kind] = table
        return tables

    def _gauges(self) -> Iterator[tuple[str, dict[str, Any]]]:
        for side in SIDES:
            table: dict[str, Any] = {}
            camber = self._angle(f"{side}.camber")
            table |= {} if camber is None else {"camber": camber}
            if self.typed.by_locks:
                table |= self._locks(side)
            elif (caster := self._angle(f"{side}.caster")) is not None:
                table["caster"] = caster
            table |= self._toe(side)
            if table:
                yield side, table

    def _angle(self, field: str) -> float | None:
        return self._number(f"gauge.{field}", self.typed.gauge.get(field, ""), "angle")

    def _locks(self, side: str) -> dict[str, Any]:
        """Return caster by camber at two locks; a part of it is told as missing."""
        names = ("lock_1", "lock_2", "camber_1", "camber_2")
        read = [self._angle(f"{side}.{name}") for name in names]
        if not any(self.typed.gauge.get(f"{side}.{name}", "").strip() for name in names):
            return {}
        for name, number in zip(names, read, strict=True):
            if number is None:
                words = (
                    "Type how far the wheel is steered."
                    if "lock" in name
                    else "Type the camber that was read there."
                )
                self.errors.setdefault(f"gauge.{side}.{name}", words)
        if None in read:
            return {}
        if read[0] == read[1]:
            self.errors.setdefault(f"gauge.{side}.lock_2", "It must be another lock.")
            return {}
        return {"caster": {"at": read[:2], "camber": read[2:]}}

    def _toe(self, side: str) -> dict[str, Any]:
        """Return toe of one wheel; a total is shared equally."""
        kind = self.typed.gauge_toe
        is_total, is_length = "total" in kind, kind.endswith("_mm")
        field = "left.toe" if is_total else f"{side}.toe"
        what = "length" if is_length else "angle"
        text = self.typed.gauge.get(field, "")
        number = self._number(f"gauge.{field}", text, what, plain_mm=is_length)
        if number is None:
            return {}
        return {"toe_mm" if is_length else "toe": 0.5 * number if is_total else number}


def typed_of(setup: Setup, units: Units, decimal: str = ".") -> TypedAlignment:
    """Return what a setup says of aligning its front, as it would be typed in units."""
    return _Typist(setup, units, decimal).typed()


class _Typist:
    def __init__(self, setup: Setup, units: Units, decimal: str) -> None:
        self.setup, self.units, self.decimal = setup, units, decimal
        self.values: dict[tuple[str, str], float] = {}  # that texts stand for, to the last digit

    def typed(self) -> TypedAlignment:
        setup = self.setup
        aims = {name_in_end(key): aim for key, aim in of_end(ALIGNED_END, setup.aims).items()}
        toe: ToeKind = next((kind for kind in TOE_KINDS if kind in aims), "toe_total")
        targets: dict[str, str] = {}
        for name in (*ANGLES, toe):
            if name in aims:
                kind = "length" if name.endswith("_mm") else "angle"
                field = "toe" if name == toe else name
                targets[f"{field}.is"] = self._text(aims[name].value, kind)
                targets[f"{field}.within"] = self._text(aims[name].within, kind)
        gauges = {side: setup.gauge.get(key_in(ALIGNED_END, side), Gauge()) for side in SIDES}
        by_locks = any(gauge.locks is not None for gauge in gauges.values())
        is_length = any(gauge.toe_length is not None for gauge in gauges.values())
        texts: dict[str, str] = {}
        for side, gauge in gauges.items():
            texts |= {f"{side}.{name}": text for name, text in self._gauge(gauge)}
        return TypedAlignment(
            tuple(self._adjusters()),
            FrozenMap(targets),
            FrozenMap(texts),
            toe,
            "toe_mm" if is_length else "toe",
            by_locks,
            FrozenMap({str(side): each.after for side, each in gauges.items() if each.after}),
        )

    def _text(self, value: float, kind: str) -> str:
        """Return a number in as few digits as it needs, with the sign that a keyboard has.

        An inch has four places at most, unless another number would then read the same.
        """
        number = value / QUANTITIES[kind].factor(self.units)
        for places in (4, 6) if self.units == "in" and kind == "length" else (6,):
            text = f"{round(number, places) + 0.0:.{places}f}".rstrip("0").rstrip(".")
            text = text.replace(".", self.decimal)
            if self.values.setdefault((text, kind), value) == value:
                break
        return text

    def _gauge(self, gauge: Gauge) -> Iterator[tuple[str, str]]:
        for name in ("camber", "caster", "toe"):
            if (angle := getattr(gauge, name)) is not None:
                yield name, self._text(angle, "angle")
        if gauge.toe_length is not None:
            yield "toe", self._text(gauge.toe_length, "length")
        for name, span in (("lock", gauge.locks), ("camber", gauge.locks_camber)):
            for number, angle in enumerate(span or (), start=1):
                yield f"{name}_{number}", self._text(angle, "angle")

    def _adjusters(self) -> Iterator[TypedAdjuster]:
        for key, adjuster in of_end(ALIGNED_END, self.setup.adjusters).items():
            name, texts = name_in_end(key), dict[str, str]()
            for field in ("fitted", "fitted_right", "sizes"):
                texts[field] = self._list(getattr(adjuster, field), "length")
            texts["have"] = self._list(adjuster.have, "ratio")
            for field in ("most", "apart", "pitch"):
                number = getattr(adjuster, field)
                texts[field] = "" if number is None else self._text(number, "length")
            kind: Kind = "shims"
            if adjuster.reach is not None:
                kind = "eccentric" if adjuster.at else "rod"
                low, high = adjuster.reach
                texts |= {"low": self._text(-low, "length"), "high": self._text(high, "length")}
            at = tuple(map(name_in_end, adjuster.at))
            typed = FrozenMap({name: text for name, text in texts.items() if text})
            yield TypedAdjuster(name, kind, at, adjuster.inboard, typed)

    def _list(self, numbers: tuple[float, ...], kind: str) -> str:
        apart = "; " if self.units == "in" else " "
        return apart.join(self._text(number, kind) for number in numbers)
