"""What a search found, in a shop's words: moves, wants, bounds and what a mm more would bring."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor, log10, sqrt

from app.document.address import AXES, is_right, split_coordinate
from app.document.ends import end_of, split_key
from app.document.keys import number_row
from app.document.model import Limit, Units
from app.document.plain_text import lower_first, upper_first
from app.document.point_names import point_words
from app.document.quantities import QUANTITIES
from app.document.units import exact_number, format_value, unit_of
from app.judge.found import Answer, Price, Reached, Search
from app.systems.clearance.results import clearance_named, clearance_result, limit_of
from app.systems.clearance.words import clearance_sentences
from app.systems.study_results import result_named
from app.words.moves import move_words as moved
from app.words.moves import way
from app.words.results import limit_named, result_number, result_text, result_unit
from geometry.catalogue.result import Result

_ENDS = {"min": -1.0, "max": 1.0}


def move_words(answer: Answer, units: Units, decimal: str = ".") -> Iterator[str]:
    """Yield each move of the answer: "Upper arm, front pivot: 12.5 mm lower"."""
    readings, change = answer.setup.readings, answer.setup.changes[-1]
    for key, move in change.moves.items():
        words = moved(move, units, right=is_right(key), decimal=decimal)
        yield f"{upper_first(point_words(key, readings))}: {words}"
    for freedom, further in zip(answer.freedoms, answer.moves, strict=True):
        if freedom.axis is None and further:
            ends = (freedom.start + further, freedom.start)
            new, old = (format_value(v, freedom.kind, units, decimal=decimal) for v in ends)
            yield f"{_title_of(freedom.key)}: {new}, now {old}"


def times_the_move(answer: Answer, best: Answer) -> float:
    """Return how far an answer moves things beside another; its size is in squares."""
    return sqrt(answer.size / max(best.size, 1e-12))


def want_words(answer: Answer, each: Reached, units: Units, decimal: str = ".") -> list[str]:
    """Return a want as a row: what, as found, wanted, within, then, unit, whether it gives."""
    result = result_in(answer, each.want.result)
    found, reached = (
        result_number(value, result, units, decimal=decimal) for value in (each.found, each.reached)
    )
    met = "" if each.is_met else "gives"
    unit = result_unit(result, units)
    want_text = _wanted(each, result, units, decimal)
    size = QUANTITIES[result.kind].factor(units)
    near = float(f"{each.within / size:.3g}") * size
    within = exact_number(near, result.kind, units, decimal=decimal)
    return [result.title, found, want_text, within, reached, unit, met]


def _wanted(each: Reached, result: Result, units: Units, decimal: str) -> str:
    want = each.want

    def number(value: float) -> str:
        return result_number(value, result, units, decimal=decimal)

    if want.keep:
        return "as found"
    if want.value is not None:
        return number(want.value)
    ends = ((want.at_least, "≥ "), (want.at_most, "≤ "))
    return ", ".join(f"{sign}{number(end)}" for end, sign in ends if end is not None)


def gives_words(answer: Answer, each: Reached, units: Units, decimal: str = ".") -> str:
    """Return by how much a want gives: "Camber gain: 0.120°/25 mm too high."."""
    result, want = result_in(answer, each.want.result), each.want
    if each.reached is None:
        return f"{result.title} isn't there any more."
    aim = each.found if want.keep else want.value
    low, high = (want.at_least, want.at_most) if aim is None else (aim, aim)
    below = 0.0 if low is None else max(low - each.reached, 0.0)
    above = 0.0 if high is None else max(each.reached - high, 0.0)
    missed = result_text(max(below, above), result, units, decimal=decimal)
    return f"{result.title}: {missed} too {'low' if below > above else 'high'}."


def _title_of(key: str) -> str:
    """Return what a value is called, or a leaf's thickness."""
    row = number_row(key)
    return key if row is None else row.title


def bound_words(answer: Answer, bound: str) -> str:
    """Return a bound in words: "outer tie rod end can't go lower"."""
    name, _, end = bound.rpartition(" ")
    point, axis = split_coordinate(name)
    if axis:
        which = way(AXES.index(axis), _ENDS[end], -1.0 if is_right(point) else 1.0)
        return f"{point_words(point, answer.setup.readings)} can't go further {which}"
    return f"{_title_of(name)} can't be {'more' if end == 'max' else 'less'}"


def price_words(answer: Answer, units: Units, decimal: str = ".") -> Iterator[str]:
    """Yield what a little more of room would bring a want that gives."""
    for price in answer.prices:
        result = result_in(answer, price.want)
        amount = _amount(answer, price, units)
        brought = price.per_mm * amount / QUANTITIES[price.kind].mm_factor
        if not result_number(brought, result, units).strip("−0."):
            continue
        step = result_text(brought, result, units, plus=True, decimal=decimal)
        more = exact_number(amount, price.kind, units, decimal=decimal)
        unit = unit_of(price.kind, units)
        more += f"{'' if unit.startswith('°') else ' '}{unit}"
        what = _further(answer, price.bound, more)
        yield f"{upper_first(what)} would bring {result.title} {step}."


def _amount(answer: Answer, price: Price, units: Units) -> float:
    """Return the little by which room is wider, or a limit is; inside units.

    1 of the unit, a tenth of an inch; of a limit a figure of about a tenth of it.
    """
    name, _, _ = price.bound.rpartition(" ")
    size, limit = QUANTITIES[price.kind].factor(units), _limit_in(answer, name)
    if limit is not None:
        ends = (limit.minimum, limit.maximum)
        largest = max((abs(end) for end in ends if end is not None), default=0.0) / size
        return float(size * 10.0 ** floor(log10(0.15 * largest))) if largest > 0.0 else size
    return size * (0.1 if price.kind == "length" and units == "in" else 1.0)


def _further(answer: Answer, bound: str, more: str) -> str:
    """Return room beyond a bound in words: "outer tie rod end 1 mm further lower"."""
    name, _, end = bound.rpartition(" ")
    if _limit_in(answer, name) is not None:
        which = "higher" if end == "max" else "lower"
        return f"a limit of {lower_first(_limited(answer, name).title)} {more} {which}"
    if number_row(name) is not None:
        return f"{_title_of(name)} {more} {'more' if end == 'max' else 'less'}"
    return bound_words(answer, bound).replace("can't go further", f"{more} further")


def stop_words(answer: Answer, units: Units, decimal: str = ".") -> Iterator[str]:
    """Yield the limits and clearances that hold an answer back, and what would do without.

    Where none does, and no bound either, what else keeps the wants from being met.
    """
    yield from _stopped_words(answer)
    for held in answer.held_back:
        limit, result = _limit_in(answer, held.name), _limited(answer, held.name)
        if limit is None:
            continue
        words = limit_named(limit, result, units, decimal=decimal)
        if held.size is None:
            yield f"{result.title} is at its {words}."
            continue
        share = round(100.0 * sqrt(held.size / answer.exact_size))
        less = f"{share} % of the move would do" if share else "nothing need move"
        yield f"Kept back by {lower_first(result.title)}, at its {words}: without it {less}."


def _stopped_words(answer: Answer) -> Iterator[str]:
    names = [lower_first(result_in(answer, name).title) for name in answer.stop.names]
    titles = " and ".join(filter(None, [", ".join(names[:-1]), *names[-1:]]))
    if answer.stop.by == "steps":
        yield "Only the steps stop it: between two of them all that is wanted can be had."
    elif answer.stop.by == "wants":
        yield f"No room stops it: {titles} pull against each other."
    elif answer.stop.by == "turn":
        yield f"No room stops it: more of any move would take {titles} further off."
    elif answer.stop.by:
        yield f"Nothing that may move changes {titles}."


def still_words(answer: Answer) -> str:
    """Return what is said of an answer in which nothing moves."""
    if answer.is_met:
        return "Nothing need move"
    return "Nothing moves" if answer.is_enough else "Nothing: no move brings it nearer"


def enough_words(answer: Answer) -> str:
    """Return how good a much smaller move is beside the best answer."""
    if answer.is_met:
        return "Not quite to the value, but near enough to count as met."
    return "Misses by more than answer 1 does, but by no more than what counts as near."


def _limit_in(answer: Answer, name: str) -> Limit | None:
    """Return the limit of a result or a clearance by its name; None of what is none."""
    end, key = split_key(name)
    clearance = clearance_named(answer.setup, end, key)
    return answer.setup.limits.get(name) if clearance is None else limit_of(clearance)


def _limited(answer: Answer, name: str) -> Result:
    """Return what has a limit: a result, or a clearance as one."""
    end, key = split_key(name)
    clearance = clearance_named(answer.setup, end, key)
    return result_in(answer, name) if clearance is None else clearance_result(clearance)


def broken_words(answer: Answer, units: Units, decimal: str = ".") -> Iterator[str]:
    """Yield the limits and clearances that the answer doesn't keep."""
    for check in answer.broken:
        reading = check.proposed
        if reading is not None:
            value = result_text(reading.value, check.result, units, decimal=decimal)
            limit = limit_named(check.limit, check.result, units, decimal=decimal)
            yield f"{check.result.title} is then {value}, past its {limit}."
    if answer.broken_clearances:
        for study in answer.studies:
            yield from (each.text for each in clearance_sentences(study, decimal))


def same_words(answer: Answer, search: Search) -> Iterator[str]:
    """Yield wants that ask for the same thing."""
    for one, other in search.same:
        first, second = (result_in(answer, name).title for name in (one, other))
        yield f"{first} and {second} move together here: both can't be chosen freely."


def result_in(answer: Answer, name: str) -> Result:
    """Return the result of a want or limit by its name."""
    end, key = split_key(name)
    study = next(each for each in answer.studies if each.system.key == end_of(name))
    result = result_named(study, key)
    if result is None:
        raise KeyError(f"{end} has no result {key}")
    return result
