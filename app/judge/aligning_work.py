"""What an alignment comes to as changes of the setup, and its knobs turned one by one.

The changes are marked as those that align: an alignment begins without them, so that readings and
fitted packs stay what they were until the work is done.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from math import asin, isclose
from typing import Final

from app.document.address import SIDES, Side, key_of
from app.document.edits import free_name
from app.document.ends import ALIGNED_END, key_in, name_in_end, of_end
from app.document.model import Change, FrozenMap, Setup, Vec
from app.document.moves import add, proposed_number, subtract
from app.document.plan_pieces import STRUT_ROD, TIE_ROD
from app.document.plans import Adjuster, Gauge
from app.judge.aligning_cars import (
    Knob,
    changes_of,
    knobs_of,
    rod_amount,
    tie_lengths,
    with_amounts,
)
from app.judge.alignment import Alignment, toe_diameter

NAME: Final = "Alignment"
ROD_NAME: Final = "Alignment: strut rods"
_STILL: Final = 1e-6  # mm
_ALIKE: Final = 1e-9  # rad
_PLACES: Final = 6  # of what is told in mm
_TRIED: Final = 1e-3  # of toe, to see what it does to the tie rods [rad]
_TOES: Final = frozenset({"front.toe", "front.toe_right"})
_ZERO: Final[Vec] = (0.0, 0.0, 0.0)


def adjusters_of(setup: Setup) -> dict[str, Adjuster]:
    """Return the adjusters of the end that is aligned, by key."""
    return of_end(ALIGNED_END, setup.adjusters)


def without_alignment(setup: Setup) -> Setup:
    """Return the setup as it is before the alignment that it proposes; one that is off stays."""
    alignments = aligning(setup)
    return _without(setup, alignments) if alignments else setup


def aligning(setup: Setup) -> tuple[Change, ...]:
    """Return the changes that are on and are an alignment.

    There are none where the adjusters don't explain all that they do, as where a point was then
    dragged: they are changes like any other.
    """
    alignments = tuple(change for change in setup.changes if change.aligns and change.on)
    return alignments if alignments and _is_explained(setup, alignments) else ()


@lru_cache(maxsize=8)
def _is_explained(setup: Setup, own: tuple[Change, ...]) -> bool:
    base, amounts = _without(setup, own), _amounts(setup, own)
    knobs = knobs_of(adjusters_of(setup))
    if any(not _TOES.issuperset(change.sets) for change in own):
        return False
    for change, moves in zip(
        changes_of(base, knobs, amounts, toe_in(setup)), _moves_of(own), strict=True
    ):
        for key in {*change.moves, *moves}:
            x, y, z = subtract(change.moves.get(key, _ZERO), moves.get(key, _ZERO))
            if max(abs(x), abs(y), abs(z)) > _STILL:
                return False
    return True


def _without(setup: Setup, own: Collection[Change]) -> Setup:
    return setup.having(changes=tuple(change for change in setup.changes if change not in own))


def taken(alignment: Alignment, setup: Setup) -> Setup:
    """Return the setup with an alignment as changes that are on, instead of one that it had."""
    amounts = {
        side: {
            **{key: sum(p) - alignment.fitted(key, side) for key, p in wheel.packs.items()},
            **{
                key: move + alignment.done(key, side)
                for key, move in wheel.moves.items()
                if key != TIE_ROD
            },
        }
        for side, wheel in alignment.wheels.items()
    }
    base = without_alignment(setup)
    if "toe" not in alignment.aims.values:
        return _with_changes(setup, amounts, toe_in(base))
    toe = {side: wheel.reached["toe"] for side, wheel in alignment.wheels.items()}
    is_done = any(gauged_amounts(setup).values())
    return _with_changes(setup, amounts, toe, is_done or not _is_toe(toe, toe_read(base)))


def amounts_in(setup: Setup) -> dict[Side, dict[str, float]]:
    """Return what the changes that align have turned each knob by [mm], on each wheel."""
    return _amounts(setup, aligning(setup))


def _amounts(setup: Setup, own: Sequence[Change]) -> dict[Side, dict[str, float]]:
    made, other = _moves_of(own)
    base, knobs = _without(setup, own), knobs_of(adjusters_of(setup))
    amounts: dict[Side, dict[str, float]] = {}
    for side in SIDES:
        inwards = -1.0 if side == "left" else 1.0
        amounts[side] = {}
        for knob in knobs:
            if knob.key == STRUT_ROD:
                move = made.get(key_of("front", side, "lower_front"), _ZERO)
                amounts[side][knob.key] = rod_amount(base, side, move) if any(move) else 0.0
                continue
            key = key_of(ALIGNED_END, side, name_in_end(knob.point))
            across = made.get(key, _ZERO)[1] + other.get(key, _ZERO)[1]
            amounts[side][knob.key] = across * inwards * (1.0 if knob.inboard else -1.0)
    return amounts


def toe_in(setup: Setup) -> dict[Side, float]:
    """Return the toe to which each wheel is set [rad]."""
    left = proposed_number(setup, "front.toe") or 0.0
    right = proposed_number(setup, "front.toe_right")
    return {"left": left, "right": left if right is None else right}


def turned(setup: Setup, key: str, sides: Collection[Side], step: float) -> Setup:
    """Return the setup with a knob turned on by a step [mm] on some wheels.

    A shim pack becomes thicker, an eccentric's pivot goes inboard, a rod becomes longer. The toe
    stays where it is set, but where the tie rods themselves are turned.
    """
    amounts, toe = amounts_in(setup), toe_in(setup)
    if key == TIE_ROD:
        slopes = toe_per_mm(setup, toe)
        toe |= {side: toe[side] + step * slopes[side] for side in sides}
    for side in sides if key != TIE_ROD else ():
        amounts[side][key] += step
    sets_toe = any(change.sets for change in aligning(setup))
    return _with_changes(setup, amounts, toe, sets_toe)


def toe_read(setup: Setup) -> dict[Side, float]:
    """Return the toe at which each wheel was gauged [rad]; else that to which it is set."""
    own, read = toe_in(without_alignment(setup)), {}
    for side in SIDES:
        gauge = setup.gauge.get(key_in(ALIGNED_END, side), Gauge())
        if gauge.toe_length is not None:
            read[side] = asin(gauge.toe_length / toe_diameter(setup))
        else:
            read[side] = own[side] if gauge.toe is None else gauge.toe
    return read


def rods_turned(setup: Setup) -> dict[Side, float]:
    """Return how much longer each tie rod is than before any alignment [mm].

    That is told by where the gauge read the toe, and by what was done then.
    """
    base, done = without_alignment(setup), gauged_amounts(setup)
    knobs = knobs_of(adjusters_of(setup))
    was = tie_lengths(with_amounts(base, knobs, done, toe_read(setup)))
    now = tie_lengths(setup)
    return {s: now[place] - was[place] + done[s].get(TIE_ROD, 0.0) for place, s in enumerate(SIDES)}


def gauged_amounts(setup: Setup) -> dict[Side, dict[str, float]]:
    """Return by how much each knob, and tie rod, was turned when the gauge read the car [mm]."""
    names = {name_of(knob): knob.key for knob in knobs_of(adjusters_of(setup))}
    names[name_in_end(TIE_ROD)] = TIE_ROD
    amounts: dict[Side, dict[str, float]] = {}
    for side in SIDES:
        after = setup.gauge.get(key_in(ALIGNED_END, side), Gauge()).after
        amounts[side] = {names[name]: amount for name, amount in after if name in names}
    return amounts


def done_now(setup: Setup) -> dict[Side, tuple[tuple[str, float], ...]]:
    """Return what the changes that align come to, as a gauge's `after` has it; nothing for none."""
    if not aligning(setup):
        return dict.fromkeys(SIDES, ())
    amounts, knobs = amounts_in(setup), knobs_of(adjusters_of(setup))
    rods = rods_turned(setup) if TIE_ROD in setup.adjusters else {}
    done: dict[Side, tuple[tuple[str, float], ...]] = {}
    for side in SIDES:
        named = {name_of(knob): amounts[side][knob.key] for knob in knobs}
        named |= {name_in_end(TIE_ROD): rods[side]} if rods else {}
        done[side] = tuple(
            (name, round(amount, _PLACES)) for name, amount in named.items() if abs(amount) > _STILL
        )
    return done


def name_of(knob: Knob) -> str:
    """Return what a knob is called in files: a pack by its bolt, else by its adjuster."""
    name = name_in_end(knob.key)
    return name.rpartition(" ")[2]


def toe_per_mm(setup: Setup, toe: Mapping[Side, float]) -> dict[Side, float]:
    """Return the toe that a mm of each tie rod makes [rad/mm]."""
    none: dict[Side, dict[str, float]] = {side: {} for side in SIDES}
    more = {side: angle + _TRIED for side, angle in toe.items()}
    was, longer = (tie_lengths(with_amounts(setup, (), none, each)) for each in (toe, more))
    return {side: _TRIED / (longer[i] - was[i]) for i, side in enumerate(SIDES)}


def _with_changes(
    setup: Setup,
    amounts: Mapping[Side, Mapping[str, float]],
    toe: Mapping[Side, float],
    sets_toe: bool = False,
) -> Setup:
    """Return the setup whose changes that align come to these; without them where to nothing.

    A toe that the setup has already is set too where `sets_toe` says so: it was read as another.

    Those that the adjusters don't explain stay as they are, and are no alignment any more.
    """
    alignments = aligning(setup)
    if not alignments:
        freed = (replace(each, aligns=each.aligns and not each.on) for each in setup.changes)
        setup = setup.having(changes=tuple(freed))
    base, knobs = _without(setup, alignments), knobs_of(adjusters_of(setup))
    made, rest = changes_of(base, knobs, amounts, toe)
    sets = rest.sets if sets_toe or not _is_toe(toe, toe_in(base)) else FrozenMap()
    rest = replace(rest, moves=_moving(rest.moves), sets=sets)
    changes = [
        _named(base, alignments, replace(change, moves=_moving(change.moves)), name)
        for change, name in ((made, ROD_NAME), (rest, NAME))
        if _moving(change.moves) or change.sets
    ]
    place = setup.changes.index(alignments[0]) if alignments else len(base.changes)
    return setup.having(changes=(*base.changes[:place], *changes, *base.changes[place:]))


def _named(base: Setup, own: Sequence[Change], change: Change, name: str) -> Change:
    """Return a change under the name, with the note, of the one that it takes the place of."""
    before = next((each for each in own if each.parts == change.parts), None)
    if before is not None:
        return replace(change, name=before.name, note=before.note, aligns=True)
    return replace(change, name=free_name(base, name), aligns=True)


def _moving(moves: Mapping[str, Vec]) -> FrozenMap[Vec]:
    """Return the moves without points that stay on both sides.

    One that stays on one side alone is named: it would mirror the other else.
    """
    names = {key.rpartition(".")[2] for key, move in moves.items() if max(map(abs, move)) > _STILL}
    return FrozenMap({key: m for key, m in moves.items() if key.rpartition(".")[2] in names})


def _moves_of(own: Sequence[Change]) -> tuple[dict[str, Vec], dict[str, Vec]]:
    """Return what changes that align move: those of the strut rods, and all others."""
    made: dict[str, Vec] = {}
    other: dict[str, Vec] = {}
    for change in own:
        moves = made if change.parts == "made to fit" else other
        for key, move in change.moves.items():
            moves[key] = add(moves.get(key, _ZERO), move)
    return made, other


def _is_toe(one: Mapping[Side, float], other: Mapping[Side, float]) -> bool:
    return all(isclose(one[side], other[side], abs_tol=_ALIKE) for side in SIDES)
