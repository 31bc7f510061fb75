"""Every key of a setup file, and what can be asked about them: the one list all rooms read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Final

from app.document.bounds import LEAF_ENDS
from app.document.ends import is_in
from app.document.front_keys import FRONT_KEYS
from app.document.leaf_parts import leaf_part
from app.document.model import FrozenMap, Setup, Value, frozen
from app.document.plain_text import upper_first
from app.document.rear_keys import REAR_KEYS
from app.document.schema import LEAF, LEAF_USUAL, Key

_CAR: Final = (
    Key(
        "car.wheelbase",
        "length",
        "Wheelbase",
        "front to rear wheel centres",
        over=0.0,
        least=1.0,
        usual=(1800.0, 3500.0),
    ),
    Key(
        "car.mass",
        "mass",
        "Mass as driven",
        "with fluids and driver",
        over=0.0,
        usual=(400.0, 2500.0),
    ),
    Key(
        "car.front_share",
        "ratio",
        "Share of the mass on the front axle",
        "0.54 is 54 %",
        least=0.0,
        most=1.0,
        usual=(0.35, 0.65),
    ),
    Key(
        "car.cg_height",
        "length",
        "Height of the centre of gravity",
        "above the ground",
        over=0.0,
        least=1.0,
        most=5000.0,
        usual=(300.0, 800.0),
    ),
    Key(
        "car.front_brake_share",
        "ratio",
        "Share of braking at the front",
        "0.64 is 64 %",
        least=0.0,
        most=1.0,
        usual=(0.5, 0.85),
    ),
    Key(
        "car.front_unsprung",
        "mass",
        "Front unsprung mass",
        "both corners together",
        over=0.0,
        usual=(30.0, 160.0),
    ),
    Key(
        "car.rear_unsprung",
        "mass",
        "Rear unsprung mass",
        "both corners together",
        over=0.0,
        usual=(50.0, 280.0),
    ),
)
_SHEET: Final = (
    Key("sheet.revision", "text", "Revision", settable=False),
    Key("sheet.date", "date", "Date", settable=False),
    Key("sheet.made_by", "text", "Made by", settable=False),
    Key("sheet.measured", "date", "Measured on", settable=False),
    Key(
        "sheet.measured_within",
        "length",
        "Points measured within ±",
        "of points that give no uncertainty of their own; 0 is exact",
        least=0.0,
        usual=(0.1, 6.0),
        settable=False,
    ),
    Key(
        "sheet.datum_within",
        "length",
        "Level and centreline within ±",
        "shared by all points: beside what each was measured within; 0 is exact",
        least=0.0,
        usual=(0.1, 10.0),
        settable=False,
    ),
    Key("sheet.customer", "text", "Customer", settable=False),
    Key("sheet.remark", "text", "Remark on the sheet", settable=False),
    Key(
        "sheet.hole_diameter",
        "length",
        "Hole diameter",
        "of the front arms' re-drilled pivots, for their job and their template",
        over=0.0,
        usual=(6.0, 25.0),
        settable=False,
    ),
)

ALL_KEYS: Final = (*_SHEET, *_CAR, *FRONT_KEYS, *REAR_KEYS)  # in the order files are written
KEYS: Final[Mapping[str, Key]] = {key.name: key for key in ALL_KEYS}
BY_PLACE: Final[Mapping[tuple[str, ...], Key]] = {key.place: key for key in ALL_KEYS}


@lru_cache(maxsize=64)
def number_row(name: str) -> Key | None:
    """Return what is known of a number that may have room: a value, or a leaf's thickness."""
    part = leaf_part(name)
    if part is not None and part.name != "thickness":
        return None
    if part is not None:
        ends, title = LEAF_ENDS[part.name], upper_first(part.in_sentence)
        row = Key(name, part.kind, title, fits=LEAF, usual=LEAF_USUAL[part.name])
        return replace(row, over=ends["over"], least=ends["least"], most=ends["most"])
    known = KEYS.get(name)
    return known if known is not None and known.is_number and known.settable else None


def is_point(name: str) -> bool:
    """Tell whether the key names a point."""
    return name in KEYS and KEYS[name].kind == "point"


def is_measured_number(key: Key) -> bool:
    """Tell whether a key is a number that can say how well it is known."""
    return key.is_number and not key.name.startswith("sheet.")


def value_name_of(key: Key) -> str:
    """Return what a value is called in a table that also says how well it is known."""
    return "at" if key.kind == "point" else "is"


def kind_of(name: str, values: Mapping[str, Value]) -> str:
    """Return the kind of quantity of a key, of a leaf's too; a rate's depends on the spring."""
    part = leaf_part(name)
    if part is not None:
        return part.kind
    key = KEYS[name]
    if key.torsion and values.get("front.spring.kind") == "torsion bar":
        return key.torsion
    return key.kind


def is_needed(key: Key, values: Mapping[str, Value]) -> bool:
    """Tell whether a file with these values must give the key."""
    if key.pair and key.pair in values:
        return True
    if not key.needs:
        return False
    name, *choices = key.needs
    if choices:
        return values.get(name) in choices
    return any(present == name or present.startswith(f"{name}.") for present in values)


def missing_keys(values: Mapping[str, Value]) -> Iterator[Key]:
    """Return the keys that must be given with these values and aren't."""
    return (key for key in ALL_KEYS if key.name not in values and is_needed(key, values))


def points_of(setup: Setup, axle: str) -> tuple[str, ...]:
    """Return the keys of the points an axle's measured values give, in the order of the schema."""
    return _points_in(frozen(setup.evidence), axle)


@lru_cache(maxsize=16)
def _points_in(evidence: FrozenMap[Value], axle: str) -> tuple[str, ...]:
    return tuple(
        key.name
        for key in ALL_KEYS
        if key.kind == "point" and key.name in evidence and is_in(axle, key.name)
    )
