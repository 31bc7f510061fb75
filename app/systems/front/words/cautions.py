"""The cautions that belong to jobs at the front. None of them says that a car is safe."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from app.document.address import Point
from app.document.keys import KEYS
from app.document.model import Change, Setup
from app.systems.shims import is_shim

# Common practice in workshops, no source.
_COIL: Final = (
    "Springs store energy: cage or compress them before any bolt is slackened; stands under the "
    "car, not a jack alone."
)
_BAR: Final = (
    "Torsion bars store energy: unwind them at their adjusters before any bolt is slackened, and "
    "mark their splines first; stands under the car, not a jack alone."
)
_DRILLED: Final = (
    "Drilled panels: keep two hole diameters from any edge or old hole, or fit a doubler, and "
    "plate the old holes. A crack here can end in a lost wheel."
)
_MADE: Final = (
    "Arms, rods and uprights carry the wheel: have them made, bent or welded only by somebody "
    "qualified for it, and crack-tested before they are fitted."
)
_STEERING: Final = (
    "Steering is a safety part: new locking hardware, full thread engagement at the tie rods, and "
    "both locks tried at full bump and full droop before the car moves."
)
_MOVED: Final = (
    "Check ball joints, brake hoses, dampers and tyre clearance at full droop, full bump and both "
    "locks before the car moves; align before driving."
)
_RUBBER: Final = (
    "Torque rubber-bushed bolts with the car on its wheels at ride height, to the workshop manual."
)
_SPRINGS_SET: Final = (
    "Other springs change ride height, headlamps, brake balance and bump travel: check each with "
    "the car settled and loaded as it is driven."
)


def front_cautions(setup: Setup, on: Sequence[Change]) -> Iterator[str]:
    """Return the cautions of changes that are on, reduced to what they do at the front."""
    moves = any(change.moves for change in on)
    arms = any(not _is_steering(key) for change in on for key in change.moves)
    bar = setup.evidence.get("front.spring.kind") == "torsion bar"
    if arms or any(_sets_spring(change) for change in on):
        yield _BAR if bar else _COIL
    if any(_drills(setup, change) for change in on):
        yield _DRILLED
    if any(_makes_parts(change) for change in on):
        yield _MADE
    if any(_steers(change) for change in on):
        yield _STEERING
    if any(_sets_spring(change) for change in on):
        yield _SPRINGS_SET
    if moves:
        yield _MOVED
    if arms:
        yield _RUBBER


def _sets_spring(change: Change) -> bool:
    return any(".spring." in key for key in change.sets)


def _drills(setup: Setup, change: Change) -> bool:
    """Tell whether a part of the body gets new holes: a pivot that is bolted to it moves."""
    return not change.aligns and any(
        not (KEYS[key].on_part or _is_steering(key) or is_shim(setup, key, move)) and any(move)
        for key, move in change.moves.items()
    )


def _makes_parts(change: Change) -> bool:
    fitted = change.parts == "made to fit"
    return not change.aligns and any(
        (KEYS[key].on_part or fitted) and any(move) for key, move in change.moves.items()
    )


def _steers(change: Change) -> bool:
    """Tell whether the steering is worked on: moved, or its tie rods turned to another toe."""
    turned = change.aligns and any("toe" in key for key in change.sets)
    return turned or any(_is_steering(key) and any(move) for key, move in change.moves.items())


def _is_steering(key: str) -> bool:
    return Point.at(key).name.startswith(("tie_", "pitman_", "idler_"))
