"""Changes as jobs for the shop: what to do, in words, with its moves. No Qt."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final, cast

from app.document.address import Point, end_of, left_of, mirrored
from app.document.keys import KEYS
from app.document.model import Change, Setup, Value, Vec
from app.document.moves import is_measured, measured_place
from app.document.naming import suggested_name
from app.systems.answers import Study
from app.systems.jobs import Job
from app.systems.rear.shop.bench import bench_length, set_words, title_in_sentence
from app.systems.rear.shop.jobs import LINKS, SPRINGS, rear_details, rear_titles
from app.systems.shims import is_shim

_GROUPS: Final = (  # points that are one thing to the shop, and its name
    (("front.upper_front", "front.upper_rear"), "the upper arm pivots"),
    (("front.lower_front", "front.lower_rear"), "the lower arm pivots"),
    (("front.spring_body", "front.damper_body"), "the spring's and the damper's upper mount"),
    (("front.spring_arm", "front.damper_arm"), "the spring's and the damper's lower mount"),
    (("front.pitman_pivot", "front.idler_pivot"), "the pitman and idler pivots"),
    (("rear.lower_body", "rear.lower_axle"), "the lower link"),
    (("rear.upper_body", "rear.upper_axle"), "the upper link"),
    (("rear.lateral_body", "rear.lateral_axle"), "the lateral link"),
    (("rear.damper_body", "rear.damper_axle"), "the rear damper"),
)
_SHIMS: Final = (
    "Same arms. Inboard is towards the middle of the car: shims that hold the shaft off a tower on "
    "its inner side come out by as much, others go in."
)
_PIVOTS: Final = ("front.upper_front", "front.upper_rear", "front.lower_front", "front.lower_rear")
_AXES: Final = (("higher", "lower"), ("outboard", "inboard"), ("forward", "rearward"))


@dataclass(frozen=True)
class _Step:
    """A move that some points of one side, or of both, make alike, by their left-hand keys."""

    keys: tuple[str, ...]
    move: Vec  # as of the left side
    sides: str  # ", both sides", ", left side", ", right side" or ""


def jobs(studies: Sequence[Study[Any]], decimal: str = ".") -> tuple[Job, ...]:
    """Return the changes that are on as jobs, and what each system asks for at the end."""
    setup = studies[0].setup
    on = [change for change in setup.changes if change.on and (change.moves or change.sets)]
    lasting = [_lasting(change, on[index + 1 :]) for index, change in enumerate(on)]
    work = [job for change in lasting for job in _jobs_of(setup, change, decimal)]
    touched = {key for change in on for key in (*change.moves, *change.sets)}
    last = (
        job
        for study in studies
        if any(map(study.system.is_own, touched))
        for job in study.system.closing_jobs(study, decimal)
    )
    return (*work, *last)


def _lasting(change: Change, later: list[Change]) -> Change:
    """Return a change without the values that a later one sets again."""
    sets = {k: v for k, v in change.sets.items() if not any(k in after.sets for after in later)}
    return change if len(sets) == len(change.sets) else replace(change, sets=sets)


def _jobs_of(setup: Setup, change: Change, decimal: str) -> Iterator[Job]:
    titles = [*_move_titles(setup, change, decimal), *_set_titles(setup, change, decimal)]
    if titles:
        title = ". ".join(text[:1].upper() + text[1:] for text in titles)
        yield Job(f"{title}.", tuple(_details(setup, change, decimal)))


# Moves


def _move_titles(setup: Setup, change: Change, decimal: str) -> Iterator[str]:
    steps = _steps(setup, _all_moves(setup, change))
    shims = [step for step in steps if all(is_shim(key, step.move) for key in step.keys)]
    yield from _shim_titles(setup, shims, decimal)
    rest = [step for step in steps if step not in shims]
    for keys in dict.fromkeys(step.keys for step in rest):
        alike = [step for step in rest if step.keys == keys]
        told = [_move_words(step.move, setup, decimal) for step in alike]
        what = f"{_verb(change, alike[0])} {_named(alike[0])}"
        if len(alike) == 1:
            yield f"{what} {told[0]}{alike[0].sides}"
        else:  # left and right by themselves
            sides = (step.sides.removeprefix(", ") for step in alike)
            yield f"{what}: {', '.join(f'{s} {w}' for s, w in zip(sides, told, strict=True))}"


def _all_moves(setup: Setup, change: Change) -> dict[str, Vec]:
    """Return a change's moves, those of points that are set to another place included."""
    moves = dict(change.moves)
    for key, value in change.sets.items():
        here = _measured(setup, key) if KEYS[key].kind == "point" else None
        if here is not None:
            there = cast(Vec, value)
            moves[key] = cast(Vec, tuple(a - b for a, b in zip(there, here, strict=True)))
    return {key: move for key, move in moves.items() if any(move)}


def _measured(setup: Setup, key: str) -> Vec | None:
    """Return where a point was measured, None for one that the car hasn't got yet."""
    return measured_place(setup, key) if is_measured(setup, key) else None


def _steps(setup: Setup, moves: Mapping[str, Vec]) -> list[_Step]:
    """Put together what moves alike: pairs of points, and both sides."""
    sides = {"left": _of_side(moves, "left"), "right": _of_side(moves, "right")}
    both = {key: move for key, move in sides["left"].items() if key not in sides["right"]}
    alike = {k: m for k, m in sides["left"].items() if sides["right"].get(k) == m}
    steps = _grouped({**both, **alike}, ", both sides")
    for side, own in sides.items():
        rest = {k: m for k, m in own.items() if k not in both and k not in alike}
        steps += _grouped(rest, f", {side} side")
    return steps


def _of_side(moves: Mapping[str, Vec], side: str) -> dict[str, Vec]:
    """Return the moves of one side's own keys, as if of the left side."""
    own = ((left_of(key), move) for key, move in moves.items() if Point.at(key).side == side)
    return {key: mirrored(move) if side == "right" else move for key, move in own}


def _grouped(moves: dict[str, Vec], sides: str) -> list[_Step]:
    steps = []
    left = dict(moves)
    for keys, _ in _GROUPS:
        if all(key in left for key in keys) and len({left[key] for key in keys}) == 1:
            steps.append(_Step(keys, left[keys[0]], _sides(keys, sides)))
            for key in keys:
                del left[key]
    return steps + [_Step((key,), move, _sides((key,), sides)) for key, move in left.items()]


def _sides(keys: tuple[str, ...], sides: str) -> str:
    """Leave the sides out for what the car has once."""
    return sides if Point.at(keys[0]).mirror.key in KEYS else ""


def _named(step: _Step) -> str:
    group = next((words for keys, words in _GROUPS if keys == step.keys), None)
    return group or KEYS[step.keys[0]].workshop


def _verb(change: Change, step: _Step) -> str:
    key = step.keys[0]
    if key in _PIVOTS:
        return "Re-drill" if change.parts == "kept" else "With new arms made to fit, re-drill"
    if Point.at(key).end == "rear":
        return _rear_verb(change, step)
    if KEYS[key].on_part:
        return "With parts made to fit, put"
    return "Move"


def _rear_verb(change: Change, step: _Step) -> str:
    """Say what is made anew: links that are longer or shorter than they were, other springs."""
    if step.keys[0] in SPRINGS:
        return "With springs made to fit, put"
    at_axle = any(key.endswith("_axle") for key in step.keys)
    made = change.parts == "made to fit" or (at_axle and len(step.keys) == 1)
    if step.keys[0].startswith(LINKS) and made:
        return "With links made to fit, move"
    return "Move"


def _move_words(move: Vec, setup: Setup, decimal: str) -> str:
    """Return a move in words with a decimal: "22.0 mm lower and 3.0 mm inboard"."""
    parts = zip((move[2], move[1], move[0]), _AXES, strict=True)
    told = [
        f"{bench_length(abs(size), setup.units, decimal)} {words[0] if size > 0 else words[1]}"
        for size, words in parts
        if abs(size) >= 0.005
    ]
    return " and ".join(filter(None, (", ".join(told[:-1]), *told[-1:])))


def _shim_titles(setup: Setup, shims: list[_Step], decimal: str) -> Iterator[str]:
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
                told = [
                    _bolt(setup, bolts.get(f"{arm}_{end}", 0.0), end, decimal)
                    for end in ("front", "rear")
                ]
                yield f"Shim the {arm} arm's shaft: {', '.join(told)}{sides}"


def _bolt(setup: Setup, step: float, end: str, decimal: str) -> str:
    if abs(step) < 0.005:
        return f"{end} bolt as it is"
    way = "outboard" if step > 0 else "inboard"
    return f"{end} bolt {bench_length(abs(step), setup.units, decimal)} {way}"


# Values


def _set_titles(setup: Setup, change: Change, decimal: str) -> Iterator[str]:
    moved = _all_moves(setup, change)
    plain = {
        key: value
        for key, value in change.sets.items()
        if KEYS[key].kind != "point" or (key not in moved and _measured(setup, key) is None)
    }
    springs = {key: value for key, value in plain.items() if key.startswith("front.spring.")}
    if springs:
        told = (_set_words(setup, key, value, decimal) for key, value in springs.items())
        bar = setup.evidence.get("front.spring.kind") == "torsion bar"
        yield f"{'Set the torsion bars' if bar else 'Fit springs'}: {', '.join(told)}"
    rear = {key: value for key, value in plain.items() if end_of(key) == "rear"}
    yield from rear_titles(setup, rear, decimal)
    rest = [
        _set_words(setup, key, value, decimal)
        for key, value in plain.items()
        if key not in springs and key not in rear
    ]
    if rest:
        yield f"Change: {', '.join(rest)}"


def _set_words(setup: Setup, key: str, value: Value, decimal: str) -> str:
    words = {
        "front.spring.rate": "rate",
        "front.spring.free_length": "free length",
        "front.spring.solid_length": "solid length",
        "front.spring.preload": "torque at the measured height",
        "front.spring.on": "bearing on the",
    }
    return set_words(setup, key, words.get(key, title_in_sentence(key)), value, decimal)


# How


def _details(setup: Setup, change: Change, decimal: str) -> Iterator[str]:
    named = change.name not in (suggested_name(setup, change), "")
    how = [f"“{change.name}”."] if named else []
    moved = [left_of(key) for key in _all_moves(setup, change)]
    shims = all(is_shim(left_of(key), move) for key, move in _all_moves(setup, change).items())
    if moved and shims:
        how.append(_SHIMS)
    elif change.parts == "kept" and any(key in _PIVOTS for key in moved):
        how.append("Same arms, bolted to the new holes.")
    elif change.parts == "kept" and any(_is_link_hole(key) for key in moved):
        how.append("Same links, bolted to the new holes.")
    if how:
        yield " ".join(how)
    yield from rear_details(setup, change.sets, decimal)
    yield from (line for line in change.note.split("\n") if line.strip())


def _is_link_hole(key: str) -> bool:
    return key.startswith(LINKS) and key.endswith("_body")
