"""What the shop is told of jobs at the front: shims, holes, springs. No Qt."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from app.document.address import Point, left_of
from app.document.keys import KEYS
from app.document.model import Change, Setup, Value, Vec
from app.document.plain_text import upper_first
from app.document.units import format_value
from app.systems.bench import set_words
from app.systems.front.shop.holes import front_holes
from app.systems.holes import AS_OLD
from app.systems.jobs import Step
from app.systems.shims import is_across, is_shim, shaft_of
from app.words.lengths import bench_length
from app.words.moves import way

_PIVOTS: Final = ("front.upper_front", "front.upper_rear", "front.lower_front", "front.lower_rear")
_SHIMS: Final = (
    "Same arms. Inboard is towards the middle of the car: shims that hold the shaft off a tower on "
    "its inner side come out by as much, others go in."
)
_SPACER: Final = (
    "Straight across the car, and further than shims go: a spacer under the shaft, or its bracket "
    "put elsewhere; no hole moves in its own face."
)
SEEN: Final = 0.005  # a smaller move of a bolt is none [mm]
_WORDS: Final = {
    "front.spring.rate": "rate",
    "front.spring.free_length": "free length",
    "front.spring.solid_length": "solid length",
    "front.spring.preload": "torque at the measured height",
    "front.spring.on": "bearing on the",
}


class FrontJobs:
    """The front's own words for jobs."""

    groups: Mapping[tuple[str, ...], str] = {
        ("front.upper_front", "front.upper_rear"): "the upper arm pivots",
        ("front.lower_front", "front.lower_rear"): "the lower arm pivots",
        ("front.spring_body", "front.damper_body"): "the spring's and the damper's upper mount",
        ("front.spring_arm", "front.damper_arm"): "the spring's and the damper's lower mount",
        ("front.pitman_pivot", "front.idler_pivot"): "the pitman and idler pivots",
    }

    def own_titles(
        self, setup: Setup, steps: Sequence[Step], decimal: str
    ) -> tuple[list[str], list[Step]]:
        """Return shims arm by arm, and the other steps."""
        thick = {
            (shaft_of(key), step.sides)
            for step in steps
            for key in step.keys
            if is_across(setup, key, step.move) and not is_shim(setup, key, step.move)
        }
        shims = [
            step
            for step in steps
            if all(is_shim(setup, key, step.move) for key in step.keys)
            and (shaft_of(step.keys[0]), step.sides) not in thick
        ]
        return list(_shim_titles(setup, shims, decimal)), [s for s in steps if s not in shims]

    def verb(self, setup: Setup, change: Change, step: Step) -> str:
        """Return what is done to points."""
        key = step.keys[0]
        if key in _PIVOTS:
            verb = "move" if is_across(setup, key, step.move) else "re-drill"
            arms = "a new arm" if step.one_side else "new arms"
            made = f"With {arms} made to fit, {verb}"
            return upper_first(verb) if change.parts == "kept" else made
        return "With parts made to fit, put" if KEYS[key].on_part else "Move"

    def set_titles(
        self, setup: Setup, sets: Mapping[str, Value], decimal: str
    ) -> tuple[list[str], set[str]]:
        """Return what is told of springs."""
        springs = [key for key in sets if key.startswith("front.spring.")]
        if not springs:
            return [], set()
        words = (_set_words(setup, key, sets[key], decimal) for key in springs)
        bar = setup.evidence.get("front.spring.kind") == "torsion bar"
        start = "Set the torsion bars" if bar else "Fit springs"
        return [f"{start}: {', '.join(words)}"], set(springs)

    def kept_parts(self, setup: Setup, change: Change, moves: Mapping[str, Vec]) -> str:
        """Say of shims how they go in, of re-drilled pivots that the arms stay."""
        pivots = {left_of(key): move for key, move in moves.items() if left_of(key) in _PIVOTS}
        across = {key: move for key, move in pivots.items() if is_across(setup, key, move)}
        if len(across) == len(moves) and all(
            is_shim(setup, key, move) for key, move in across.items()
        ):
            return _SHIMS
        kept = "Same arms, bolted to the new holes." if len(across) < len(pivots) else "Same arms."
        parts = [kept] if change.parts == "kept" and pivots else []
        return " ".join([*parts, _SPACER] if across else parts)

    def hole_size(self, setup: Setup, moves: Mapping[str, Vec], decimal: str) -> str:
        """Say how wide the holes of re-drilled pivots are; of others the setup has no size."""
        drilled = {left_of(key) for key, move in moves.items() if not is_across(setup, key, move)}
        holes = [hole for hole in front_holes(setup) if drilled.intersection(hole.keys)]
        sizes = {hole.has_size for hole in holes if hole.is_hole}
        size = setup.evidence.get("sheet.hole_diameter")
        if True not in sizes or not isinstance(size, float | int):
            return AS_OLD if sizes else ""
        words = format_value(size, "length", setup.units, decimal=decimal, fractions=True)
        if False in sizes:
            return f"Holes of {words} for the arm's pivots; the others as the old ones: measure."
        return f"Holes of {words}."

    def without_effect(self, setup: Setup, keys: Sequence[str]) -> str:
        """Return nothing: all that is done at the front does something."""
        return ""

    def details(self, setup: Setup, sets: Mapping[str, Value], decimal: str) -> Iterator[str]:
        """Yield nothing: the titles say it all."""
        yield from ()


def _shim_titles(setup: Setup, shims: list[Step], decimal: str) -> Iterator[str]:
    """Say shims arm by arm: "Shim the upper arm's shaft: front bolt 3.0 mm inboard, …"."""
    for arm in ("upper", "lower"):
        for sides in dict.fromkeys(step.sides for step in shims):
            bolts = {
                Point.at(key).name: step.move[1]
                for step in shims
                for key in step.keys
                if step.sides == sides and Point.at(key).name.startswith(arm)
            }
            if bolts:
                shims_by_bolt = [
                    _bolt(setup, bolts.get(f"{arm}_{end}", 0.0), end, decimal)
                    for end in ("front", "rear")
                ]
                yield f"Shim the {arm} arm's shaft: {', '.join(shims_by_bolt)}{sides}"


def _bolt(setup: Setup, step: float, end: str, decimal: str) -> str:
    if abs(step) < SEEN:
        return f"{end} bolt as it is"
    return f"{end} bolt {bench_length(abs(step), setup.units, decimal)} {way(1, step)}"


def _set_words(setup: Setup, key: str, value: Value, decimal: str) -> str:
    return set_words(setup, key, _WORDS.get(key, KEYS[key].in_sentence), value, decimal)
