"""The cautions that belong to jobs on the rear axle and its springs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from app.document.address import left_of
from app.document.keys import KEYS
from app.document.model import Change
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers

# Common practice in workshops, no source.
_LEAVES: Final = (
    "Leaf springs store energy: unload them fully, the axle on stands and the body held apart, "
    "before the last U-bolt or shackle bolt comes off."
)
_PACK: Final = (
    "Clamp the pack in a vice or with long clamps before its centre bolt is taken out; springs are "
    "altered in pairs, and no heat or weld comes near a leaf."
)
_BOLTS: Final = (
    "New U-bolts and nuts every time the seat is opened, of the length that a block or another "
    "pack asks for; tighten them again after the first miles."
)
_EYES: Final = (
    "Torque eye and shackle bolts with the car on its wheels at ride height, to the workshop "
    "manual, or their rubbers twist and fail."
)
_BLOCK: Final = (
    "Blocks and wedges: one piece of metal each, located by the centre bolt, never stacked. They "
    "lengthen the lever that winds the spring up."
)
_COILS: Final = (
    "Coil springs store energy: cage or compress them, and let the axle down on a jack, before a "
    "damper or link that holds it is undone."
)
_BARS: Final = (
    "Traction bars and their brackets load the seat and the body where nothing did before: have "
    "them made and welded only by somebody qualified for it, and the bump stops looked at again. "
    "In bump the axle comes to sit on the snubbers: springs, seats and what the snubbers meet then "
    "take wheel loads that they weren't made for. Set the gap on both sides alike, with a feeler, "
    "the car on its wheels."
)
_DAMPERS: Final = (
    "Moved dampers: see that they neither close nor open to their ends within the axle's travel "
    "and roll, and that their brackets clear tyre, tank and exhaust."
)
_WELDED: Final = (
    "Brackets on the axle tube and holes in the body carry the axle: weld and drill only where "
    "somebody qualified says so, with the tube kept straight; keep two hole diameters from edges."
)
_REACH: Final = (
    "Check brake hose, handbrake cable, propshaft plunge and joint angles, tyre and exhaust at "
    "full droop, full bump and full wind-up both ways before the car moves."
)
_HEIGHT: Final = (
    "Another ride height or rate at the rear changes headlamps, brake balance and bump travel: "
    "check each with the car settled and loaded as it is driven."
)
_ON_SEAT: Final = ("rear.block", "rear.wedge", "rear.shackle_length", "rear.pack.")
_IN_HEIGHT: Final = ("rear.block", "rear.shackle_length", "rear.pack.", "rear.spring.", "rear.kind")


def rear_cautions(study: Study[RearAnswers], on: Sequence[Change]) -> Iterator[str]:
    """Return the cautions of changes that are on, reduced to what they do at the rear."""
    sets = {key for change in on for key in change.sets}
    moves = {left_of(key) for change in on for key, move in change.moves.items() if any(move)}
    leaves = "leaf axle" in (study.measured.kind, study.proposed.kind)
    yield from _springs(leaves, sets, moves)
    on_seat = _any(sets, _ON_SEAT) and leaves
    if "rear.kind" in sets and study.proposed.kind == "leaf axle" and not on_seat:
        yield _BOLTS
    if any(key.startswith("rear.traction_bar.") for key in sets):
        yield _BARS
    if moves & {"rear.damper_axle", "rear.damper_body"}:
        yield _DAMPERS
    if "rear.kind" in sets or any(not KEYS[key].on_part or _is_bracket(key) for key in moves):
        yield _WELDED
    if _any(sets, _IN_HEIGHT):
        yield _HEIGHT
    yield _REACH


def _springs(leaves: bool, sets: set[str], moves: set[str]) -> Iterator[str]:
    on_seat = _any(sets, _ON_SEAT)
    held = moves - {"rear.damper_axle", "rear.damper_body", "rear.pinion"}
    if leaves and (on_seat or held or "rear.kind" in sets):
        yield _LEAVES
    if not leaves or "rear.kind" in sets:
        yield _COILS
    if "rear.pack.leaf" in sets:
        yield _PACK
    if leaves and on_seat:
        yield _BOLTS
    if leaves and ("rear.block" in sets or "rear.wedge" in sets):
        yield _BLOCK
    if on_seat or held or "rear.kind" in sets:
        yield _EYES


def _any(keys: set[str], starts: tuple[str, ...]) -> bool:
    return any(key.startswith(starts) for key in keys)


def _is_bracket(key: str) -> bool:
    """Tell whether a point is held by a bracket on the axle tube."""
    return key.endswith("_axle")
