"""Names for changes, made of what they move and set: "Upper pivots 22 mm lower"."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final, cast

from app.document.address import left_of, mirrored
from app.document.keys import KEYS, kind_of
from app.document.model import Change, Leaf, Setup, Units, Value, Vec
from app.document.moves import point_in
from app.document.plain_text import lower_first
from app.document.point_names import are_two_bushes, point_title
from app.document.quantities import QUANTITIES
from app.document.units import number_of, unit_of
from app.words.lengths import length_words, shortened
from app.words.moves import move_words

_TOGETHER: Final = {
    frozenset(keys.split()): words
    for keys, words in (
        ("front.upper_front front.upper_rear", "Upper pivots"),
        ("front.lower_front front.lower_rear", "Lower pivots"),
        ("front.upper_front front.upper_rear front.lower_front front.lower_rear", "All arm pivots"),
        ("front.upper_ball front.lower_ball", "Ball joints"),
        ("front.tie_inner front.tie_outer", "Tie rod"),
        ("front.spring_body front.damper_body", "Spring and damper, body ends"),
        ("front.spring_arm front.damper_arm", "Spring and damper, arm ends"),
        ("front.spring_body front.spring_arm", "Spring"),
        ("front.damper_body front.damper_arm", "Damper"),
        ("front.pitman_pivot front.idler_pivot", "Pitman and idler pivots"),
        ("front.pitman_pivot front.idler_pivot front.pitman_end front.idler_end", "Relay"),
        ("rear.damper_body rear.damper_axle", "Rear damper"),
        ("rear.spring_body rear.spring_axle", "Rear coil"),
        ("rear.lower_body rear.lower_axle", "Lower link"),
        ("rear.upper_body rear.upper_axle", "Upper link"),
        ("rear.lateral_body rear.lateral_axle", "Lateral link"),
        ("rear.bar_axle rear.bar_snubber", "Traction bar"),
    )
}
_DAMPER: Final = {"rear.damper_body", "rear.damper_axle"}
_MOST: Final = 2  # things a name tells of; more are counted
Leaves = tuple[Leaf, ...]
NEW: Final = "New change"


BOLTED_ON: Final = "new parts, bolted on"
MADE: Final = {"kept": "same parts, moved holes", "made to fit": "new parts, made to fit"}
"""How a change is made, by what becomes of the parts."""


def is_bolted_on(change: Change) -> bool:
    """Tell whether a change only fits or alters traction bars: no part of the car is moved."""
    starts = ("rear.bar_", "rear.traction_bar.")
    return bool(change.sets) and all(
        key.startswith(starts) for key in (*change.sets, *change.moves)
    )


def suggested_name(setup: Setup, change: Change, *, decimal: str = ".") -> str:
    """Return a name that says what a change does, in the setup's units."""
    damper = _damper_told(setup, change)
    if damper:
        return damper
    clauses = [*_moves_told(setup, change.moves, decimal)]
    clauses += [_set_told(setup, key, value, decimal) for key, value in change.sets.items()]
    if not clauses:
        return NEW
    if len(clauses) <= _MOST:
        return ", ".join([clauses[0], *(lower_first(words) for words in clauses[1:])])
    counted = [(len(change.moves), "point", "moved"), (len(change.sets), "value", "changed")]
    words = (f"{n} {what}{'s' if n > 1 else ''} {done}" for n, what, done in counted if n)
    return ", ".join(words)


def _moves_told(setup: Setup, moves: Mapping[str, Vec], decimal: str) -> list[str]:
    """Return what is said of the moves: one clause for all points that move alike."""
    points_by_move: dict[Vec, dict[str, set[str]]] = {}
    for key, move in moves.items():
        left = left_of(key)
        sides = points_by_move.setdefault(move if left == key else mirrored(move), {})
        sides.setdefault(left, set()).add("left" if left == key else "right")
    return [
        f"{_points_words(sides, setup)} {move_words(move, setup.units, decimal=decimal)}"
        for move, sides in points_by_move.items()
    ]


def _damper_told(setup: Setup, change: Change) -> str:
    """Return what to call a change that takes a rear damper to the other side of the axle."""
    moved_points = {left_of(key) for key in change.moves}
    if (
        change.sets
        or not moved_points
        or not moved_points <= _DAMPER
        or "rear.wheel_centre" not in setup.evidence
    ):
        return ""
    axle = point_in(setup.evidence, "rear.wheel_centre")[0]
    passed = {}
    for key in change.moves:
        measured = setup.evidence.get(key, setup.evidence.get(left_of(key)))
        if measured is None:  # another job fits this damper
            return ""
        start = cast(Vec, measured)[0]
        end = start + change.moves[key][0]
        if left_of(key) == "rear.damper_axle" and (start - axle) * (end - axle) < 0.0:
            passed[key] = "behind" if end < axle else "ahead of"
    return _passed_told(passed, change)


def _passed_told(passed: Mapping[str, str], change: Change) -> str:
    """Say which damper passed the axle: the left one's job is done on the right as well."""
    sides = set(passed.values())
    if len(sides) != 1:
        return ""
    left, right = "rear.damper_axle", "rear.right.damper_axle"
    if left in passed:
        whose = "Both dampers" if right in passed or right not in change.moves else "Left damper"
    else:
        whose = "Right damper"
    return f"{whose} {sides.pop()} the axle"


def _points_words(sides: Mapping[str, set[str]], setup: Setup) -> str:
    only_right = all(which == {"right"} for which in sides.values())
    suffix = ", right side," if only_right else ""
    names = _TOGETHER.get(frozenset(sides))
    if are_two_bushes(sides, setup.evidence):
        names = "Strut rod and lateral link, body bushes"
    if names is None:
        titles = [point_title(key, setup.evidence) for key in sides]
        names = titles[0] if len(titles) == 1 else f"{len(titles)} points"
    return f"{names}{suffix}"


def _set_told(setup: Setup, key: str, value: Value, decimal: str) -> str:
    row, kind = KEYS[key], kind_of(key, setup.evidence)
    if key == "rear.wedge":
        return _wedge_told(cast(float, value), setup.units, decimal)
    name = row.short or row.title
    if kind in QUANTITIES:
        return f"{name} {_value_words(cast(float, value), kind, setup.units, decimal)}"
    if kind == "leaves":
        leaves = cast(tuple[Leaf, ...], value)
        measured = cast(tuple[Leaf, ...], setup.evidence.get(key, ()))
        step = _leaf_step_told(measured, leaves, setup.units, decimal)
        return step or f"{name} of {len(leaves)} {'leaf' if len(leaves) == 1 else 'leaves'}"
    return f"{name} {value}" if isinstance(value, str) else f"{name} placed"


def _leaf_step_told(was: Leaves, now: Leaves, units: Units, decimal: str) -> str:
    """Return a pack's change where it is one step at one leaf, or two exchanged; else nothing."""
    was, now = (tuple(replace(leaf, note="") for leaf in pack) for pack in (was, now))
    if len(now) == len(was):
        places = [at for at, pair in enumerate(zip(was, now, strict=True)) if pair[0] != pair[1]]
        if len(places) == 2 and [now[at] for at in places] == [was[at] for at in places[::-1]]:
            return f"Leaves {places[0] + 1} and {places[1] + 1} exchanged"
        if len(places) != 1:
            return ""
        (at,) = places
        is_thickness = replace(was[at], thickness=now[at].thickness) == now[at]
        size = _value_words(now[at].thickness, "length", units, decimal)
        return f"Leaf {at + 1} at {size}" if is_thickness else f"Leaf {at + 1} altered"
    out = next((at for at in range(len(was)) if was[:at] + was[at + 1 :] == now), None)
    if out is not None:
        return f"Leaf {out + 1} out"
    added = next((at for at in range(len(now)) if now[:at] + now[at + 1 :] == was), None)
    return "" if added is None or not was else f"Leaf {added + 1} added"


def _wedge_told(angle: float, units: Units, decimal: str) -> str:
    if not angle:
        return "Wedges out"
    way = "up" if angle > 0.0 else "down"
    return f"Wedge {_value_words(abs(angle), 'angle', units, decimal)} nose {way}"


def _value_words(value: float, kind: str, units: Units, decimal: str) -> str:
    if kind == "length":
        return length_words(value, units, decimal)
    number, unit = shortened(number_of(value, kind, units), decimal), unit_of(kind, units)
    return f"{number}{'' if unit.startswith('°') or not unit else ' '}{unit}"
