"""Changes as jobs for the shop: what to do, in words, with its moves. No Qt."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import hypot
from typing import Any, Final

from app.document.address import Point, left_of, mirrored
from app.document.keys import KEYS
from app.document.model import Setup, Vec
from app.document.moves import is_measured
from app.document.plain_text import lower_first, upper_first
from app.document.point_names import are_two_bushes, workshop_words
from app.judge.aligning_work import aligning
from app.shop.alignment_job import alignment_jobs, tells_tie_rods
from app.shop.hole_gaps import order_gap_words
from app.shop.idle import names_of, orders_to_do
from app.shop.orders import SEEN, Order
from app.systems.answers import Study
from app.systems.bench import set_words
from app.systems.every import SYSTEMS
from app.systems.height_words import UNKNOWN
from app.systems.hold_words import hold_words
from app.systems.jobs import BOTH, LEFT, RIGHT, Job, JobWords, Step
from app.systems.system import System
from app.words.changes import suggested_name
from app.words.lengths import bench_length
from app.words.moves import said_move

Groups = Mapping[tuple[str, ...], str]
FAR: Final = 100.0  # a new hole further from its old one is measured from that [mm]
AS_ALIGNED: Final = "The job above says how far each tie rod is turned from where the toe was read."
TWO_BUSHES: Final = "the strut rod's and the lateral link's body bushes"


def jobs(studies: Sequence[Study[Any]], decimal: str = ".") -> tuple[Job, ...]:
    """Return what the changes that are on come to as jobs, and what each system asks at the end."""
    setup = studies[0].setup
    orders = orders_to_do(studies)
    work = [job for order in orders for job in _jobs_of(setup, order, decimal)]
    if any(study.system.is_aligned for study in studies):
        work += alignment_jobs(setup, decimal)
    held = [_held_job(study, decimal) for study in studies if study.must_be_held]
    touched = {key for each in orders for key in (*each.moves, *each.shims, *each.sets)}
    touched |= {key for change in aligning(setup) for key in (*change.moves, *change.sets)}
    last = (
        job
        for study in studies
        if any(map(study.system.is_own, touched)) or study.must_be_held
        for job in _closing_jobs(study, decimal)
    )
    return (*work, *held, *last)


def _closing_jobs(study: Study[Any], decimal: str) -> Iterator[Job]:
    """Yield what a system asks at the end; tie rods that an alignment turns are checked alone."""
    is_told = study.system.is_aligned and tells_tie_rods(study.setup)
    for job in study.system.closing_jobs(study, decimal):
        yield replace(job, details=(AS_ALIGNED,)) if is_told else job


def _held_job(study: Study[Any], decimal: str) -> Job:
    """Return what holds an end at the height that was chosen, or that nothing given does."""
    ways, end = hold_words(study, decimal), study.system.key
    title = f"Hold the {end} at the height below"
    if "settled_travel" in study.missing:
        return Job(f"{title}. What holds it there isn't known, {UNKNOWN}: ask before work starts.")
    if not ways:
        return Job(f"{title}: nothing that is given here can. Ask before work starts.")
    return Job(f"{title}: {ways}.", ("One of these; each alone holds it.",) * (" or " in ways))


def _jobs_of(setup: Setup, order: Order, decimal: str) -> Iterator[Job]:
    titles = [*_move_titles(setup, order, decimal), *_set_titles(setup, order, decimal)]
    if titles:
        parts = tuple(f"{upper_first(text)}." for text in titles)
        yield Job(" ".join(parts), tuple(_details(setup, order, decimal)), parts)


# Moves


def _move_titles(setup: Setup, order: Order, decimal: str) -> Iterator[str]:
    for system in SYSTEMS:
        words = system.job_words()
        steps = [
            step
            for moves in (order.moves, order.shims)
            for step in _steps({k: m for k, m in moves.items() if system.is_own(k)}, words.groups)
        ]
        titles, rest = words.own_titles(setup, steps, decimal)
        yield from titles
        yield from _plain_titles(setup, order, rest, words, decimal)


def _plain_titles(
    setup: Setup, order: Order, steps: Sequence[Step], words: JobWords, decimal: str
) -> Iterator[str]:
    """Say what is moved, by what belongs together; left and right by themselves if need be."""
    for keys in dict.fromkeys(step.keys for step in steps):
        name = _together(keys, words, setup)
        steps_by_verb = _by_verb(setup, order, [step for step in steps if step.keys == keys], words)
        for verb, same_points in steps_by_verb.items():
            moves = [_move_words(step.move, setup, decimal) for step in same_points]
            if len(same_points) == 1:
                yield f"{verb} {name} {moves[0]}{same_points[0].sides}"
                continue
            sides = (step.sides.removeprefix(", ") for step in same_points)
            parts = (f"{s} {m}" for s, m in zip(sides, moves, strict=True))
            yield f"{verb} {name}: {', '.join(parts)}"


def _together(keys: tuple[str, ...], words: JobWords, setup: Setup) -> str:
    """Return what points that are moved alike are called."""
    if are_two_bushes(keys, setup.evidence):
        return TWO_BUSHES
    return words.groups.get(keys) or workshop_words(keys[0], setup.evidence)


def _by_verb(
    setup: Setup, order: Order, steps: Sequence[Step], words: JobWords
) -> dict[str, list[Step]]:
    """Put steps together with which the same is done: parts may be new on one side alone."""
    by_verb: dict[str, list[Step]] = {}
    for step in steps:
        for own in _by_owner(order, step):
            verb = words.verb(setup, order.owner(own.own_keys), own)
            by_verb.setdefault(verb, []).append(own)
    return by_verb


def _by_owner(order: Order, step: Step) -> tuple[Step, ...]:
    """Return a step of both sides as one of each where parts are new on one of them alone."""
    left, right = (replace(step, sides=sides) for sides in (LEFT, RIGHT))
    if step.sides != BOTH or order.owner(left.own_keys).parts == order.owner(right.own_keys).parts:
        return (step,)
    return left, right


def _steps(moves: Mapping[str, Vec], groups: Groups) -> list[Step]:
    """Put together what moves alike: pairs of points, and both sides."""
    sides = {"left": _of_side(moves, "left"), "right": _of_side(moves, "right")}
    both = {
        key: move
        for key, move in sides["left"].items()
        if sides["right"].get(key) == move or Point.at(key).mirror.key not in KEYS
    }
    steps = _grouped(both, BOTH, groups)
    for own, words in zip(sides.values(), (LEFT, RIGHT), strict=True):
        rest = {key: move for key, move in own.items() if key not in both}
        steps += _grouped(rest, words, groups)
    return steps


def _of_side(moves: Mapping[str, Vec], side: str) -> dict[str, Vec]:
    """Return the moves of one side's own keys, as if of the left side."""
    own = ((left_of(key), move) for key, move in moves.items() if Point.at(key).side == side)
    return {key: mirrored(move) if side == "right" else move for key, move in own}


def _grouped(moves: dict[str, Vec], sides: str, groups: Groups) -> list[Step]:
    steps = []
    left = dict(moves)
    for keys in groups:
        if all(key in left for key in keys) and len({left[key] for key in keys}) == 1:
            steps.append(Step(keys, left[keys[0]], _sides(keys, sides)))
            for key in keys:
                del left[key]
    return steps + [Step((key,), move, _sides((key,), sides)) for key, move in left.items()]


def _sides(keys: tuple[str, ...], sides: str) -> str:
    """Leave the sides out for what the car has once."""
    return sides if Point.at(keys[0]).mirror.key in KEYS else ""


def _move_words(move: Vec, setup: Setup, decimal: str) -> str:
    """Return a move in words with a decimal: "22.0 mm lower and 3.0 mm inboard"."""

    def length(step: float) -> str:
        return bench_length(step, setup.units, decimal)

    return said_move(move, length, lambda step: abs(step) >= SEEN)


# Values


def _set_titles(setup: Setup, order: Order, decimal: str) -> Iterator[str]:
    plain = {
        key: value
        for key, value in order.sets.items()
        if KEYS[key].kind != "point" or (key not in order.moves and not is_measured(setup, key))
    }
    for system in SYSTEMS:
        own = {key: plain[key] for key in plain if system.is_own(key)}
        titles, keys = system.job_words().set_titles(setup, own, decimal)
        yield from titles
        plain = {key: value for key, value in plain.items() if key not in keys}
    if plain:
        words = (set_words(setup, k, KEYS[k].in_sentence, v, decimal) for k, v in plain.items())
        yield f"Change: {', '.join(words)}"


# How


def _details(setup: Setup, order: Order, decimal: str) -> Iterator[str]:
    how = [_names(setup, order)]
    sizes = _hole_sizes(setup, order, decimal)
    for system in SYSTEMS:
        words = system.job_words()
        for moves in (order.moves, order.shims):
            own = {key: move for key, move in moves.items() if system.is_own(key)}
            if own:
                how.append(_kept_parts(setup, order, own, words))
                if moves is order.moves:
                    how.append(sizes.get(system.key, ""))
                    how += _straight(setup, system, own, decimal)
    how += order_gap_words(setup, order.moves.keys(), decimal)
    if any(how):
        yield " ".join(dict.fromkeys(filter(None, how)))
    yield from _made_elsewhere(setup, order, decimal)
    for system in SYSTEMS:
        sets = {key: value for key, value in order.sets.items() if system.is_own(key)}
        yield from system.job_words().details(setup, sets, decimal)
    for change in order.changes:
        yield from (line for line in change.note.split("\n") if line.strip())


def _hole_sizes(setup: Setup, order: Order, decimal: str) -> dict[str, str]:
    """Return how wide the holes are by end of the car, which is named where they differ."""
    sizes: dict[str, str] = {}
    for system in SYSTEMS:
        own = {key: move for key, move in order.moves.items() if system.is_own(key)}
        words = system.job_words().hole_size(setup, own, decimal) if own else ""
        if words:
            sizes[system.key] = words
    if len({*sizes.values()}) < 2:
        return sizes
    return {end: f"{upper_first(end)}: {lower_first(words)}" for end, words in sizes.items()}


def _straight(
    setup: Setup, system: System[Any], moves: Mapping[str, Vec], decimal: str
) -> Iterator[str]:
    """Say how far new holes are from old ones that are too far off to be seen with them."""
    drilled = {key for each in system.holes(setup) if each.is_hole for key in each.keys}
    steps = [
        step
        for step in _steps(moves, system.job_words().groups)
        if drilled >= {*step.keys} and hypot(*step.move) > FAR and is_measured(setup, step.keys[0])
    ]
    for step in steps:
        name = _together(step.keys, system.job_words(), setup)
        which = f" ({name}{step.sides})" if len(steps) > 1 else ""
        size = bench_length(hypot(*step.move), setup.units, decimal)
        yield f"From the old centre to the new one{which} {size} straight."


def _names(setup: Setup, order: Order) -> str:
    """Return the names that say more than the title, or of which changes it is the sum."""
    first, *others = order.changes
    if not others:
        named = first.name not in (suggested_name(setup, first), "")
        return f"“{first.name}”." if named else ""
    return f"One job, the sum of {names_of(order.changes)}."


def _kept_parts(setup: Setup, order: Order, moves: Mapping[str, Vec], words: JobWords) -> str:
    """Say which parts stay, by side where they don't on both."""
    kept = {}
    for side in ("left", "right"):
        own = {key: move for key, move in moves.items() if Point.at(key).side == side}
        if own:
            kept[side] = words.kept_parts(setup, order.owner(tuple(own)), own)
    if len(set(kept.values())) == 1:
        return next(iter(kept.values()))
    has_right = any(Point.at(key).is_right for key in moves)
    told = ((f"{side.capitalize()} side: ", text) for side, text in kept.items() if text)
    return " ".join(f"{start}{lower_first(text)}" if has_right else text for start, text in told)


def _made_elsewhere(setup: Setup, order: Order, decimal: str) -> Iterator[str]:
    """Say to which places new parts are made whose holes are then put elsewhere still."""
    for key, move in order.made.items():
        mirror = Point.at(key).mirror.key
        is_alike = mirror in order.made and order.made[mirror] == mirrored(move)
        if Point.at(key).is_right and is_alike:
            continue
        own = mirrored(move) if Point.at(key).is_right else move
        name, words = workshop_words(left_of(key), setup.evidence), _move_words(own, setup, decimal)
        side = "" if is_alike or mirror not in KEYS else f" on the {Point.at(key).side}"
        yield (
            f"The new parts{side} are made to fit {name} {words}; then they go to the place above."
        )
