"""Changes as jobs for the shop: what to do, in words, with its moves. No Qt."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final, cast

from app.document.address import Point, left_of, mirrored
from app.document.keys import KEYS
from app.document.model import Change, Setup, Value, Vec
from app.document.moves import is_measured, measured_place
from app.document.naming import suggested_name
from app.systems.answers import Study
from app.systems.jobs import Job
from app.systems.rear.shop.bench import bench_length, set_words, title_in_sentence
from app.systems.rear.shop.jobs import LINKS, NAMES, ONCE, SPRINGS, rear_details, rear_titles
from app.systems.shims import is_shim

_GROUPS: Final = (  # points that are one thing to the shop, and its name
    (("upper_front", "upper_rear"), "the upper arm pivots"),
    (("lower_front", "lower_rear"), "the lower arm pivots"),
    (("spring_body", "damper_body"), "the spring's and the damper's upper mount"),
    (("spring_arm", "damper_arm"), "the spring's and the damper's lower mount"),
    (("pitman_pivot", "idler_pivot"), "the pitman and idler pivots"),
    (("rear.lower_body", "rear.lower_axle"), "the lower link"),
    (("rear.upper_body", "rear.upper_axle"), "the upper link"),
    (("rear.lateral_body", "rear.lateral_axle"), "the lateral link"),
    (("rear.damper_body", "rear.damper_axle"), "the rear damper"),
)
_NAMES: Final = {
    "upper_front": "the upper arm's front pivot",
    "upper_rear": "the upper arm's rear pivot",
    "upper_ball": "the upper ball joint",
    "lower_front": "the lower arm's front pivot",
    "lower_rear": "the lower arm's rear pivot",
    "lower_ball": "the lower ball joint",
    "strut_joint": "the strut rod's joint on the link",
    "tie_inner": "the tie rods' inner ends",
    "tie_outer": "the tie rods' outer ends",
    "wheel_centre": "the wheel centre",
    "spring_body": "the spring's body seat",
    "spring_arm": "the spring's seat on the arm",
    "damper_body": "the damper's body end",
    "damper_arm": "the damper's arm end",
    "pitman_pivot": "the pitman arm's pivot",
    "pitman_end": "the pitman arm's end",
    "idler_pivot": "the idler arm's pivot",
    "idler_end": "the idler arm's end",
    **NAMES,
}
_SHIMS: Final = (
    "Same arms. Inboard is towards the middle of the car: shims that hold the shaft off a tower on "
    "its inner side come out by as much, others go in."
)
_PIVOTS: Final = ("upper_front", "upper_rear", "lower_front", "lower_rear")
_AXES: Final = (("higher", "lower"), ("outboard", "inboard"), ("forward", "rearward"))


@dataclass(frozen=True)
class _Step:
    """A move that some points of one side, or of both, make alike."""

    names: tuple[str, ...]
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
    shims = [step for step in steps if all(is_shim(name, step.move) for name in step.names)]
    yield from _shim_titles(setup, shims, decimal)
    rest = [step for step in steps if step not in shims]
    for names in dict.fromkeys(step.names for step in rest):
        alike = [step for step in rest if step.names == names]
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
    both = {name: move for name, move in sides["left"].items() if name not in sides["right"]}
    alike = {n: m for n, m in sides["left"].items() if sides["right"].get(n) == m}
    steps = _grouped({**both, **alike}, ", both sides")
    for side, own in sides.items():
        rest = {n: m for n, m in own.items() if n not in both and n not in alike}
        steps += _grouped(rest, f", {side} side")
    return steps


def _of_side(moves: Mapping[str, Vec], side: str) -> dict[str, Vec]:
    """Return the moves of one side's own keys by bare names, as if of the left side."""
    found = {}
    for key, move in moves.items():
        point = Point.at(key)
        if point.side == side:
            name = left_of(key).removeprefix("front.")
            found[name] = mirrored(move) if point.is_right else move
    return found


def _grouped(moves: dict[str, Vec], sides: str) -> list[_Step]:
    steps = []
    left = dict(moves)
    for names, _ in _GROUPS:
        if all(name in left for name in names) and len({left[name] for name in names}) == 1:
            steps.append(_Step(names, left[names[0]], _sides(names, sides)))
            for name in names:
                del left[name]
    return steps + [_Step((name,), move, _sides((name,), sides)) for name, move in left.items()]


def _sides(names: tuple[str, ...], sides: str) -> str:
    """Leave the sides out for what the car has once."""
    return "" if names[0].startswith(("pitman", "idler", *ONCE)) else sides


def _named(step: _Step) -> str:
    group = next((words for names, words in _GROUPS if names == step.names), None)
    return group or _NAMES.get(step.names[0]) or title_in_sentence(_key(step.names[0]))


def _verb(change: Change, step: _Step) -> str:
    name = step.names[0]
    if name in _PIVOTS:
        return "Re-drill" if change.parts == "kept" else "With new arms made to fit, re-drill"
    if name.startswith("rear."):
        return _rear_verb(change, step)
    if KEYS[_key(name)].on_part:
        return "With parts made to fit, put"
    return "Move"


def _rear_verb(change: Change, step: _Step) -> str:
    """Say what is made anew: links that are longer or shorter than they were, other springs."""
    if step.names[0] in SPRINGS:
        return "With springs made to fit, put"
    at_axle = any(name.endswith("_axle") for name in step.names)
    made = change.parts == "made to fit" or (at_axle and len(step.names) == 1)
    if step.names[0].startswith(LINKS) and made:
        return "With links made to fit, move"
    return "Move"


def _key(name: str) -> str:
    return name if name.startswith("rear.") else f"front.{name}"


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
                name: step.move[1]
                for step in shims
                for name in step.names
                if step.sides == sides and name.startswith(arm)
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
    rear = {key: value for key, value in plain.items() if key.startswith("rear.")}
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
    moved = [left_of(key).removeprefix("front.") for key in _all_moves(setup, change)]
    shims = all(is_shim(left_of(key), move) for key, move in _all_moves(setup, change).items())
    if moved and shims:
        how.append(_SHIMS)
    elif change.parts == "kept" and any(name in _PIVOTS for name in moved):
        how.append("Same arms, bolted to the new holes.")
    elif change.parts == "kept" and any(_is_link_hole(name) for name in moved):
        how.append("Same links, bolted to the new holes.")
    if how:
        yield " ".join(how)
    yield from rear_details(setup, change.sets, decimal)
    yield from (line for line in change.note.split("\n") if line.strip())


def _is_link_hole(name: str) -> bool:
    return name.startswith(LINKS) and name.endswith("_body")
