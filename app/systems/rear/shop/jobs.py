"""Values that a change sets at the rear, titles as jobs for the shop. No Qt."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from math import degrees, dist
from typing import Final, cast

from app.document.address import left_of
from app.document.keys import KEYS
from app.document.leaf_pairs import Leaves
from app.document.model import Change, Setup, Value, Vec
from app.document.moves import is_there, points_of_side, proposed_place, proposed_settings
from app.document.units import format_point, format_value
from app.systems.bench import set_words, value_words
from app.systems.holes import AS_OLD, BOLT
from app.systems.jobs import Step
from app.systems.rear.shop.holes import rear_holes
from app.systems.rear.shop.leaf_steps import KEY as LEAVES
from app.systems.rear.shop.leaf_steps import leaf_steps, measured_leaves
from app.systems.rear.without_effect import without_effect
from app.words.lengths import bench_length

Sets = Mapping[str, Value]

LINKS: Final = ("rear.lower_", "rear.upper_", "rear.lateral_")
SPRINGS: Final = ("rear.rear_eye", "rear.centre_bolt")
MOST_STEPS: Final = 3  # of a pack that a job can tell; more are left to the table
_BAR: Final = ("rear.traction_bar.", "rear.bar_")
_SHORT: Final = {
    "rear.spring.rate": "rate",
    "rear.spring.free_length": "free length",
    "rear.spring.solid_length": "solid length",
    "rear.damper.rate": "rate",
    "rear.damper.closed_length": "closed length",
    "rear.damper.open_length": "open length",
    "rear.traction_bar.gap": "gap",
    "rear.traction_bar.length": "length",
    "rear.traction_bar.stiffness": "snubber rate",
}


def rear_titles(setup: Setup, sets: Sets, decimal: str) -> Iterator[str]:
    """Yield what is fitted or altered, by what belongs together."""
    remaining_sets = dict(sets)
    for prefixes, words_of in _JOBS:
        job_sets = {
            key: remaining_sets.pop(key)
            for key in sets
            if key in remaining_sets and key.startswith(prefixes)
        }
        if job_sets:
            yield from words_of(setup, job_sets, decimal)
    if remaining_sets:
        words = (
            set_words(setup, k, KEYS[k].in_sentence, v, decimal) for k, v in remaining_sets.items()
        )
        yield f"Change at the rear: {', '.join(words)}"


def rear_details(setup: Setup, sets: Sets, decimal: str) -> Iterator[str]:
    """Yield smaller words on how."""
    if sets.get("rear.kind") == "five-link axle":
        yield from _fitted_links(setup, decimal)
    if LEAVES in sets:
        yield "Both springs alike; every leaf is in the table of the leaf pack."
    bars = [(key, sets[key]) for key in ("rear.bar_axle", "rear.bar_snubber") if key in sets]
    if bars:
        places = (
            f"{'axle end' if key.endswith('axle') else 'snubber'} "
            f"{format_point(cast(Vec, at), setup.units, decimal=decimal)}"
            for key, at in bars
        )
        yield f"Left bar at X, Y, Z: {'; '.join(places)}. The right one is its mirror."


def _fitted_links(setup: Setup, decimal: str) -> Iterator[str]:
    """Yield the lengths, holes and springs that a maker asks for where an axle is put on links."""
    lengths = []
    for link in ("lower", "upper", "lateral"):
        ends = (f"rear.{link}_body", f"rear.{link}_axle")
        if all(is_there(setup, key) for key in ends):
            body, axle = (proposed_place(setup, key) for key in ends)
            lengths.append(f"{link} {bench_length(dist(body, axle), setup.units, decimal)}")
    if lengths:
        yield f"Links from centre to centre, with the car as found: {', '.join(lengths)}."
    values = proposed_settings(setup)
    bolt = values.get(BOLT)
    if bolt is None:
        yield "Size of the links' bolts: that of the bushes that are fitted; measure them."
    else:
        yield f"Holes for the links' bolts: {value_words(setup, BOLT, bolt, decimal)}."
    springs = [
        f"{words} {value_words(setup, key, values[key], decimal)}"
        for key, words in (("rear.spring.rate", "rate"), ("rear.spring.free_length", "free length"))
        if values.get(key) is not None
    ]
    if springs:
        yield f"Coils: {', '.join(springs)}."


def _kind(setup: Setup, sets: Sets, decimal: str) -> Iterator[str]:
    if sets["rear.kind"] == "leaf axle":
        yield "Fit the axle on leaf springs in place of its links and coils"
    else:
        yield "Fit the axle on five links and coils in place of the leaf springs"


def _leaves(setup: Setup, sets: Sets, decimal: str) -> Iterator[str]:
    before, after = measured_leaves(setup), cast(Leaves, sets[LEAVES])
    steps = list(leaf_steps(before, after, setup.units, decimal))
    if before and len(steps) > MOST_STEPS:
        counts = f"{len(after)} leaves" if len(after) != len(before) else "new leaves"
        yield f"Build both leaf springs up anew, of {counts}"
    elif before and steps:
        yield f"Alter both leaf springs: {'; '.join(steps)}"
    elif not before:
        yield f"Make leaf springs of {len(after)} leaves, two alike"


def _pack(setup: Setup, sets: Sets, decimal: str) -> Iterator[str]:
    set_texts = (set_words(setup, k, KEYS[k].in_sentence, v, decimal) for k, v in sets.items())
    yield f"Leaf springs: {', '.join(set_texts)}"


def _blocks(setup: Setup, sets: Sets, decimal: str) -> Iterator[str]:
    size, was = sets["rear.block"], setup.evidence.get("rear.block") or 0.0
    if not size:
        yield "Take the lowering blocks out"
        return
    before = f" (were {value_words(setup, 'rear.block', was, decimal)})" if was else ""
    words = value_words(setup, "rear.block", size, decimal)
    yield f"Fit lowering blocks of {words}{before} between springs and axle, both sides"


def _wedges(setup: Setup, sets: Sets, decimal: str) -> Iterator[str]:
    angle = cast(float, sets["rear.wedge"])
    if not degrees(angle):
        yield "Take the wedges under the seats out"
        return
    size = format_value(abs(angle), "angle", setup.units, decimal=decimal, places=1)
    yield f"Fit wedges of {size} under the seats, pinion nose {'up' if angle > 0 else 'down'}"


def _shackles(setup: Setup, sets: Sets, decimal: str) -> Iterator[str]:
    points = points_of_side(setup.evidence, "rear", "left")
    length = bench_length(cast(float, sets["rear.shackle_length"]), setup.units, decimal)
    before = ""
    if {"rear_eye", "shackle_body"} <= points.keys():
        was = setup.evidence.get("rear.shackle_length")
        measured_length = (
            dist(points["rear_eye"], points["shackle_body"]) if was is None else cast(float, was)
        )
        before = f" (now {bench_length(measured_length, setup.units, decimal)})"
    yield f"Fit shackles {length} long between their eyes{before}, both sides"


def _bars(setup: Setup, sets: Sets, decimal: str) -> Iterator[str]:
    set_texts = [set_words(setup, k, _SHORT[k], v, decimal) for k, v in sets.items() if k in _SHORT]
    new = "rear.traction_bar.gap" not in setup.evidence
    words = "Fit traction bars under both spring seats" if new else "Change the traction bars"
    yield f"{words}: {', '.join(set_texts)}" if set_texts else words


def _parts(start: str) -> Callable[[Setup, Sets, str], Iterator[str]]:
    def titles(setup: Setup, sets: Sets, decimal: str) -> Iterator[str]:
        words = (set_words(setup, k, _SHORT[k], v, decimal) for k, v in sets.items())
        yield f"{start}: {', '.join(words)}"

    return titles


_JOBS: Final[tuple[tuple[str | tuple[str, ...], Callable[..., Iterator[str]]], ...]] = (
    ("rear.kind", _kind),
    (LEAVES, _leaves),
    ("rear.pack.", _pack),
    ("rear.block", _blocks),
    ("rear.wedge", _wedges),
    ("rear.shackle_length", _shackles),
    (_BAR, _bars),
    ("rear.spring.", _parts("Fit rear coils")),
    ("rear.damper.", _parts("Fit rear dampers")),
)


class RearJobs:
    """The rear's own words for jobs."""

    groups: Mapping[tuple[str, ...], str] = {
        ("rear.lower_body", "rear.lower_axle"): "the lower link",
        ("rear.upper_body", "rear.upper_axle"): "the upper link",
        ("rear.lateral_body", "rear.lateral_axle"): "the lateral link",
        ("rear.damper_body", "rear.damper_axle"): "the rear damper",
    }

    def own_titles(
        self, setup: Setup, steps: Sequence[Step], decimal: str
    ) -> tuple[list[str], list[Step]]:
        """Return all steps: none is told in a way of its own."""
        return [], list(steps)

    def verb(self, setup: Setup, change: Change, step: Step) -> str:
        """Say what is made anew: links that become longer or shorter, other springs."""
        if step.keys[0] in SPRINGS:
            return f"With {'a spring' if step.one_side else 'springs'} made to fit, put"
        at_axle = any(key.endswith("_axle") for key in step.keys)
        made = change.parts == "made to fit" or (at_axle and len(step.keys) == 1)
        if step.keys[0].startswith(LINKS) and made:
            return f"With {'a link' if step.one_side else 'links'} made to fit, move"
        return "Move"

    def set_titles(self, setup: Setup, sets: Sets, decimal: str) -> tuple[list[str], set[str]]:
        """Return what is fitted or altered, by what belongs together."""
        return list(rear_titles(setup, sets, decimal)), set(sets)

    def kept_parts(self, setup: Setup, change: Change, moves: Mapping[str, Vec]) -> str:
        """Say that links stay where only their holes move."""
        holes = (key for key in map(left_of, moves) if key.startswith(LINKS))
        if change.parts == "kept" and any(key.endswith("_body") for key in holes):
            return "Same links, bolted to the new holes."
        return ""

    def hole_size(self, setup: Setup, moves: Mapping[str, Vec], decimal: str) -> str:
        """Say that holes are drilled as the old ones: the setup has no size of any at the rear."""
        drilled = {left_of(key) for key in moves}
        return AS_OLD if any(drilled.intersection(hole.keys) for hole in rear_holes(setup)) else ""

    def without_effect(self, setup: Setup, keys: Sequence[str]) -> str:
        """Say why what is moved and set does nothing on the axle as built."""
        return without_effect(setup, keys)

    def details(self, setup: Setup, sets: Sets, decimal: str) -> Iterator[str]:
        """Yield smaller words on leaves and bars."""
        yield from rear_details(setup, sets, decimal)
