"""Edits of a setup: each function takes a setup and returns a new one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Final, cast

from app.document.address import is_right, left_of, mirrored
from app.document.bounds import ends_of
from app.document.clearances import Clearance
from app.document.ends import end_of, key_in
from app.document.heights import height_range, heights_in_reach, is_in_reach, reach_words
from app.document.keys import KEYS, is_point
from app.document.leaf_pairs import with_leaves
from app.document.leaf_parts import leaf_part, leaves_in, with_leaf_number, within_without
from app.document.model import (
    AS_MEASURED,
    MARK,
    SETTLES,
    Change,
    FrozenMap,
    HeightChoice,
    Limit,
    Parts,
    Setup,
    Tape,
    Toe,
    Value,
    Vec,
    Within,
    frozen,
    mark_key,
)
from app.document.moves import move_in_change
from app.document.plan_edits import kept_plans, renamed_together
from app.document.planes import corrected_from
from app.document.units import unit_of

_FURTHEST: Final = ends_of("length", None, None, None)[2]


class EditError(ValueError):
    """An edit that can't be made, with the reason in the user's words."""


# --- the changes ------------------------------------------------------------------------------


def add_change(setup: Setup, change: Change, index: int | None = None) -> Setup:
    """Return the setup with a change added, at the end unless a place is given."""
    place = len(setup.changes) if index is None else index
    named = replace(change, name=free_name(setup, change.name))
    return setup.having(changes=(*setup.changes[:place], named, *setup.changes[place:]))


def rename_change(setup: Setup, index: int, name: str) -> Setup:
    """Return the setup with a change renamed; another change's name is refused."""
    new_name = one_line(name)
    if not new_name:
        raise EditError("A change needs a name: the shop's sheet lists changes by their names.")
    if any(c.name == new_name for i, c in enumerate(setup.changes) if i != index):
        raise EditError(f"There is already a change named “{new_name}”. Choose another name.")
    together = renamed_together(setup, setup.changes[index].name, new_name)
    return _with_change(setup.having(together=together), index, name=new_name)


def switch_change(setup: Setup, index: int, on: bool) -> Setup:
    """Return the setup with a change switched on or off."""
    return _with_change(setup, index, on=on)


def remove_change(setup: Setup, index: int) -> Setup:
    """Return the setup without a change."""
    return setup.having(changes=setup.changes[:index] + setup.changes[index + 1 :])


def duplicate_change(setup: Setup, index: int) -> Setup:
    """Return the setup with a copy of a change after it, under a name of its own."""
    return add_change(setup, setup.changes[index], index + 1)


def reorder_change(setup: Setup, index: int, to: int) -> Setup:
    """Return the setup with a change moved so that it stands at the place `to`."""
    changes = list(setup.changes)
    change = changes.pop(index)
    changes.insert(to, change)
    return setup.having(changes=tuple(changes))


def set_parts(setup: Setup, index: int, parts: Parts) -> Setup:
    """Return the setup with a change made with the same parts, or with new ones."""
    return _with_change(setup, index, parts=parts)


def set_toe(setup: Setup, index: int, toe: Toe) -> Setup:
    """Return the setup with the toe reset after a change, or not reset."""
    return _with_change(setup, index, toe=toe)


def set_change_note(setup: Setup, index: int, note: str) -> Setup:
    """Return the setup with a change's note."""
    return _with_change(setup, index, note=clean_text(note))


def free_name(setup: Setup, name_start: str) -> str:
    """Return a name no change bears yet: the wanted one, or with a number after it."""
    name = one_line(name_start) or "Change"
    taken = {change.name for change in setup.changes}
    if name not in taken:
        return name
    return next(n for i in range(2, len(taken) + 3) if (n := f"{name} ({i})") not in taken)


# --- what a change moves and sets -------------------------------------------------------------


def move_points(setup: Setup, index: int, keys: tuple[str, ...], delta: Vec) -> Setup:
    """Return the setup with several points moved together, as the two pivots of one arm are.

    A point that the change sets is set further on. A right-hand one that so far follows the left
    one's job starts from where that has taken it.
    """
    change = setup.changes[index]
    moves, sets = dict(change.moves), dict(change.sets)
    for key in keys:
        _refuse_unknown_point(setup, key)
        if key in sets:
            sets[key] = _moved(cast(Vec, sets[key]), delta)
        else:
            moves[key] = _moved(move_in_change(setup, change, key), delta)
    return _with_change(setup, index, moves=_without_zero(moves, sets), sets=FrozenMap(sets))


def _moved(place: Vec, delta: Vec) -> Vec:
    x, y, z = (_without_residue(a + b) for a, b in zip(place, delta, strict=True))
    return x, y, z


def set_move(setup: Setup, index: int, key: str, move: Vec) -> Setup:
    """Return the setup with a change moving the point by exactly this; no move removes it."""
    _refuse_unknown_point(setup, key)
    x, y, z = move
    change = setup.changes[index]
    moves = {**change.moves, key: (_without_residue(x), _without_residue(y), _without_residue(z))}
    return _with_change(setup, index, moves=_without_zero(moves, change.sets))


def reset_point(setup: Setup, index: int, key: str) -> Setup:
    """Return the setup with a point where it was before this change."""
    change = setup.changes[index]
    return _with_change(
        setup, index, moves=frozen(change.moves).without(key), sets=frozen(change.sets).without(key)
    )


def move_both_sides(setup: Setup, index: int, key: str) -> Setup:
    """Return the setup with a right-hand point's move done on both sides of the car alike."""
    move = move_in_change(setup, setup.changes[index], key)
    return set_move(reset_point(setup, index, key), index, left_of(key), mirrored(move))


def set_value(setup: Setup, index: int, key: str, value: Value) -> Setup:
    """Return the setup with a change giving a key a new value."""
    if key not in KEYS:
        raise EditError(f"There is no value named {key}.")
    if not KEYS[key].settable:
        raise EditError(f"{KEYS[key].title} can't be changed by a proposal: it says what is there.")
    sets = frozen(setup.changes[index].sets).having(key, value)
    return _with_change(setup, index, sets=sets)


def reset_value(setup: Setup, index: int, key: str) -> Setup:
    """Return the setup with a key's value as it was before this change."""
    return _with_change(setup, index, sets=frozen(setup.changes[index].sets).without(key))


# --- the evidence -----------------------------------------------------------------------------


def remove_evidence(setup: Setup, key: str) -> Setup:
    """Return the setup without a measured value, its uncertainty and its note."""
    less = setup.having(
        tapes=tapes_without(setup, key),
        evidence=frozen(setup.readings).without(key),
        within=within_without(setup.within, key),
        point_notes=frozen(setup.point_notes).without(key),
    )
    return heights_in_reach(kept_plans(less))


def correct_reading(setup: Setup, key: str, value: Value) -> Setup:
    """Return the setup with a measured value as it was read again; of a leaf, in changes too."""
    part = leaf_part(key)
    if part is not None:
        leaves = with_leaf_number(leaves_in(setup.readings), part, cast(float, value))
        return heights_in_reach(with_leaves(setup, leaves))
    planes, was = setup.planes, cast("Vec | None", setup.readings.get(key))
    if planes and is_point(key):
        planes = corrected_from(planes, key, was, cast(Vec, value))
    evidence = frozen(setup.readings).having(key, value)
    return heights_in_reach(setup.having(evidence=evidence, planes=planes))


def set_within(setup: Setup, key: str, within: Within | None) -> Setup:
    """Return the setup with how well a value is known; None takes that back."""
    held = frozen(setup.within)
    return setup.having(within=held.without(key) if within is None else held.having(key, within))


def set_tapes(setup: Setup, tapes: Iterable[Tape]) -> Setup:
    """Return the setup with these tapes."""
    return setup.having(tapes=tuple(tapes))


def put_tape(setup: Setup, tape: Tape | None, number: int | None = None) -> Setup:
    """Return the setup with one more tape, or one in the place of that at `number`.

    None takes that one away.
    """
    tapes, new = list(setup.tapes), [] if tape is None else [tape]
    place = len(tapes) if number is None else number
    return set_tapes(setup, [*tapes[:place], *new, *tapes[place + 1 :]])


def set_mark(setup: Setup, name: str, place: Vec, within: float | None = None) -> Setup:
    """Return the setup with a mark on the floor, or with one where it really is.

    `within` is how well it is known, k = 2 [mm]; None where it is exact.
    """
    marked = setup.having(marks=frozen(setup.marks).having(one_line(name), place))
    return set_within(marked, mark_key(one_line(name)), within or None)


def tapes_without(setup: Setup, *keys: str) -> tuple[Tape, ...]:
    """Return the tapes that keep both ends when measured points are taken away.

    A right-hand end that isn't measured itself is the mirror of the left-hand point.
    """
    points = setup.readings.keys() - set(keys)
    return tuple(
        tape
        for tape in setup.tapes
        if all(end.startswith(MARK) or {end, left_of(end)} & points for end in tape.between)
    )


def untold_ends(setup: Setup) -> tuple[str, ...]:
    """Return the measured points at the ends of tapes that nothing says the uncertainty of."""
    if "sheet.measured_within" in setup.readings:
        return ()
    ends = dict.fromkeys(end for tape in setup.tapes for end in tape.between)
    points = (end for end in ends if not end.startswith(MARK))
    return tuple(end for end in points if not {end, left_of(end)} & setup.within.keys())


def set_point_note(setup: Setup, key: str, note: str) -> Setup:
    """Return the setup with a note on how a point was measured."""
    held, text = frozen(setup.point_notes), clean_text(note)
    return setup.having(point_notes=held.having(key, text) if text else held.without(key))


# --- how high the proposed car stands ----------------------------------------------------------


def set_height(setup: Setup, end: str, choice: HeightChoice) -> Setup:
    """Return the setup with an end ("front", "rear") settling, or held at a height.

    `choice` is SETTLES, AS_MEASURED, or the height from the wheel centre to the arch lip [mm].
    """
    if not any(end_of(key) == end for key in setup.evidence):
        raise EditError(f"This car has no {end} whose height could be chosen.")
    if not isinstance(choice, str):
        _refuse_height_out_of_reach(setup, end, choice)
    elif choice not in (SETTLES, AS_MEASURED):
        raise EditError(
            f"“{choice}” is no height: choose “{SETTLES}”, “{AS_MEASURED}” or a number."
        )
    return setup.having(heights=frozen(setup.heights).having(end, choice))


def _refuse_height_out_of_reach(setup: Setup, end: str, height: float) -> None:
    reach = height_range(setup.evidence, end)
    if reach is None:
        title = KEYS[key_in(end, "arch_height")].title
        raise EditError(f"A number for the height needs the measured one: give “{title}” first.")
    if not is_in_reach(height, reach):
        words, nearest = reach_words(height, reach, setup.units)
        raise EditError(
            f"The {end} can't stand there between its stops: wheel centre to arch lip can be "
            f"{words} {unit_of('length', setup.units)}. The nearest is {nearest}."
        )


# --- limits and words -------------------------------------------------------------------------


def set_limit(setup: Setup, key: str, limit: Limit | None) -> Setup:
    """Return the setup with the limit of a result ("front.camber"); none removes it."""
    held = frozen(setup.limits)
    return setup.having(limits=held.without(key) if limit is None else held.having(key, limit))


def set_clearance(setup: Setup, clearance: Clearance, least: float | None, by: str = "") -> Setup:
    """Return the setup in which a clearance may be no less; none asks for nothing [mm]."""
    other = replace(clearance, at_least=least, by=by)
    all_of_them = (other if each == clearance else each for each in setup.clearances)
    return setup.having(clearances=tuple(all_of_them))


def set_details(setup: Setup, title: str, notes: str, values: Mapping[str, Value | None]) -> Setup:
    """Return the setup with another title, notes, and values that the sheet prints; None is none.

    Raises
    ------
    EditError
        A tape ends at a point that nothing says the uncertainty of any more.
    """
    readings = {**setup.readings, **values}
    given = FrozenMap({key: value for key, value in readings.items() if value is not None})
    detailed = setup.having(title=one_line(title), notes=clean_text(notes), evidence=given)
    if untold_ends(detailed):
        title = KEYS["sheet.measured_within"].title
        raise EditError(f"Tapes end at points that need it: keep “{title}”.")
    return detailed


def set_title(setup: Setup, title: str) -> Setup:
    """Return the setup with another title."""
    return setup.having(title=one_line(title))


def clean_text(text: str) -> str:
    """Return text as a file can hold it: line ends of one kind, no halves of characters."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    return lines.encode("utf-16", "surrogatepass").decode("utf-16", "replace")


def one_line(text: str) -> str:
    """Return a name as one line, however it was pasted."""
    return " ".join(clean_text(text).split())


def _with_change(setup: Setup, index: int, **fields: object) -> Setup:
    changed = replace(setup.changes[index], **fields)  # type: ignore[arg-type]
    return setup.having(changes=(*setup.changes[:index], changed, *setup.changes[index + 1 :]))


def _refuse_unknown_point(setup: Setup, key: str) -> None:
    known_keys = setup.evidence.keys() | {k for change in setup.changes for k in change.sets}
    if not is_point(key) or (key not in known_keys and left_of(key) not in known_keys):
        raise EditError(f"{key} can't be moved: this car has no such measured point.")


def _without_residue(length: float) -> float:
    """Return a length without rounding errors of sums, so that a file shows what was typed.

    A hand that drags on and on comes to the end of what a file may hold.
    """
    return round(min(max(length, -_FURTHEST), _FURTHEST), 9) + 0.0


def _without_zero(moves: Mapping[str, Vec], sets: Mapping[str, Value]) -> FrozenMap[Vec]:
    """Drop zero moves, except that of a right-hand point that stays while the left one moves."""
    moved = {key for key, move in moves.items() if any(move)}
    led = {key for key in moves if is_right(key) and left_of(key) in moved | sets.keys()}
    return FrozenMap({key: move for key, move in moves.items() if key in moved | led})
