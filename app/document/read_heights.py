"""Reads at which height each end of the proposal stands."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from app.document.checks import Checker, found_words, strange
from app.document.model import CHOICES, SETTLES, HeightChoice, Units, Value
from app.document.quantities import from_inside
from app.document.schema import ENDS
from app.document.toml_text import number_text

NAMES: Final = {f"{end}_height": end for end in ENDS}
STOP: Final = 80.0  # travel each way where a file gives none [mm]


def read_heights(
    check: Checker, raw: object, values: Mapping[str, Value]
) -> dict[str, HeightChoice]:
    """Return the choices of a file's `[proposal]`, but those that leave the springs to settle."""
    table = check.table(("proposal",), raw)
    for name in strange(table, NAMES):
        check.unknown(("proposal", name), NAMES)
    heights: dict[str, HeightChoice] = {}
    for name in table.keys() & NAMES.keys():
        choice = _choice(check, name, table[name], values)
        if choice is not None and choice != SETTLES:
            heights[NAMES[name]] = choice
    return {end: heights[end] for end in ENDS if end in heights}


def _choice(
    check: Checker, name: str, raw: object, values: Mapping[str, Value]
) -> HeightChoice | None:
    path, end = ("proposal", name), NAMES[name]
    if f"{end}.kind" not in values:
        check.fault(path, f"the file gives no {end}", f"nothing here, or a [{end}]")
        return None
    if isinstance(raw, str):
        return check.choice(path, raw, CHOICES)
    if isinstance(raw, bool) or not isinstance(raw, int | float):
        number = "a number: wheel centre to arch lip"
        words = " or ".join(f'"{choice}"' for choice in CHOICES)
        check.fault(path, f"found {found_words(raw)}", f"{words} or {number}")
        return None
    height = check.number(path, raw, "length", over=0.0)
    arch = values.get(f"{end}.arch_height")
    if height is None or not isinstance(arch, float):
        if height is not None:
            expected = f"{end}.arch_height, from which a height in numbers counts"
            check.fault(path, "the measured height isn't given", expected)
        return None
    low, high = allowed(values, end, arch)
    if not low <= height <= high:
        nearest = low if height < low else high
        words = number_text(from_inside(nearest, "length", check.units))
        check.fault(path, f"found {found_words(raw)}: beyond the stops", f"{words}, the nearest")
        return None
    return height


def allowed(values: Mapping[str, Value], end: str, arch: float) -> tuple[float, float]:
    """Return the lowest and the highest arch that the stops allow [mm]."""
    bump, rebound = (values.get(f"{end}.travel.{way}") for way in ("bump", "rebound"))
    lowest = arch - (bump if isinstance(bump, float) else STOP)
    return max(lowest, 0.0), arch + (rebound if isinstance(rebound, float) else STOP)


def height_words(choice: HeightChoice, units: Units) -> str:
    """Return a choice in words, as a step of history: "settles", "held as measured"."""
    if isinstance(choice, str):
        return "settles" if choice == SETTLES else "held at the measured height"
    return f"held at {number_text(from_inside(choice, 'length', units))} {units} to the arch lip"
