"""How high each end of the proposed car stands, and how far a chosen height may be from it.

An end settles where its springs carry it, is held at the measured height, or is held at a number:
from the wheel centre straight up to the arch lip, as `arch_height` was measured.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil, floor
from typing import Final, cast

from app.document.bounds import ROUNDED, ends_of
from app.document.ends import ENDS, key_in
from app.document.model import FrozenMap, HeightChoice, Setup, Units, Value
from app.document.quantities import from_inside, to_inside
from app.document.toml_text import number_text
from app.document.units import number_of, unit_of

STOP_TRAVEL: Final = 80.0
"""Wheel travel to a stop where a file doesn't give it, up and down [mm]."""
HEIGHT_KEYS: Final[Mapping[str, str]] = {end: f"{end}_height" for end in ENDS}
"""The key in the file's table of the proposal, by end."""
_STEPS: Final[Mapping[Units, float]] = {"mm": 10.0, "in": 1000.0}  # in one unit, of a bound told
_, _LEAST, _MOST = ends_of("length", 0.0, None, None)


def stop_keys(end: str) -> tuple[str, str, str]:
    """Return the keys that bound a chosen height: the arch height, bump and rebound travel."""
    return key_in(end, "arch_height"), key_in(end, "travel.bump"), key_in(end, "travel.rebound")


def height_range(values: Mapping[str, Value], end: str) -> tuple[float, float] | None:
    """Return the least and the greatest height to the arch lip that the stops allow [mm].

    None where the measured arch height isn't among the values: then no number says anything.
    """
    arch_height, bump, rebound = (values.get(key) for key in stop_keys(end))
    if arch_height is None:
        return None
    up, down = (STOP_TRAVEL if travel is None else travel for travel in (bump, rebound))
    middle = cast(float, arch_height)
    return max(middle - cast(float, up), _LEAST), min(middle + cast(float, down), _MOST)


def is_in_reach(height: float, reach: tuple[float, float]) -> bool:
    """Tell whether a height lies between the stops, but for the last digits of a file's numbers."""
    least, most = reach
    return least * (1.0 - ROUNDED) <= height <= most * (1.0 + ROUNDED)


def reach_words(height: float, reach: tuple[float, float], units: Units) -> tuple[str, str]:
    """Return the range of heights in words, and the nearest in it, as numbers of a file.

    Both ends are rounded inwards, so that what is told is allowed.
    """
    steps = _STEPS[units]
    least = ceil(from_inside(reach[0], "length", units) * steps - ROUNDED) / steps
    most = floor(from_inside(reach[1], "length", units) * steps + ROUNDED) / steps
    nearest = least if height < to_inside(least, "length", units) else most
    texts = [number_text(number).removesuffix(".0") for number in (least, most, nearest)]
    return f"at least {texts[0]}, at most {texts[1]}", texts[2]


def heights_in_reach(setup: Setup) -> Setup:
    """Return the setup with chosen heights that its stops allow, after a measurement has changed.

    One beyond a stop becomes that of the stop; one whose arch height is gone settles.
    """
    heights: dict[str, HeightChoice] = {}
    for end, choice in setup.heights.items():
        reach = height_range(setup.evidence, end)
        if isinstance(choice, str):
            heights[end] = choice
        elif reach is not None:
            inside = is_in_reach(choice, reach)
            heights[end] = choice if inside else min(max(choice, reach[0]), reach[1])
    return setup if heights == setup.heights else setup.having(heights=FrozenMap(heights))


def choice_words(setup: Setup, end: str, decimal: str = ".") -> str:
    """Return how an end of the proposed car stands, in the setup's units, as undo says it."""
    choice = setup.heights.get(end)
    if choice is None:
        return "settles"
    if isinstance(choice, str):
        return "held at the measured height"
    to_lip = f"{plain_length(choice, setup.units, decimal)} to the arch lip"
    lower = cast(float, setup.evidence[key_in(end, "arch_height")]) - choice
    step = plain_length(abs(lower), setup.units, decimal)
    if step.startswith("0 "):
        return f"held at {to_lip}, as measured"
    return f"{step} {'lower' if lower > 0.0 else 'higher'}: {to_lip}"


def moved_heights(before: Setup, after: Setup, decimal: str = ".") -> str:
    """Say which chosen heights a correction of measurements took along; empty where none."""
    words = []
    for end, choice in before.heights.items():
        if after.heights.get(end) != choice:
            gone = key_in(end, "arch_height") not in after.evidence
            why = "without its arch height" if gone else "as far as its stops now allow"
            words.append(f"The {end} {choice_words(after, end, decimal)}, {why}.")
    return " ".join(words)


def plain_length(length: float, units: Units, decimal: str = ".") -> str:
    """Return a length without zeros behind its last digit: "12 mm", "0.5 in"."""
    number = number_of(length, "length", units, decimal=decimal)
    return f"{number.rstrip('0').rstrip(decimal)} {unit_of('length', units)}"
