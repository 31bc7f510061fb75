"""A search for a change: what was asked on the command line, and the answer for both readers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from math import inf, isfinite, nan
from pathlib import Path
from typing import Final

from app.cli.arguments import Call
from app.cli.files import load, write_car
from app.cli.machine import PER_MM, UNITS, kind_number
from app.cli.questions import unbuilt_words
from app.cli.refused import WRONG_CALL, Refused
from app.cli.tables import Column, Page, Row
from app.cli.terminal import Terminal
from app.document.address import AXES, split_coordinate
from app.document.checks import did_you_mean
from app.document.ends import key_in, split_key
from app.document.entries import EntryError, parse_value
from app.document.keys import KEYS, is_point, kind_of, number_row
from app.document.model import FrozenMap, Setup
from app.document.plain_text import upper_first
from app.document.plans import Room, Want
from app.document.quantities import QUANTITIES
from app.judge.find import find
from app.judge.found import Answer, Reached, Search
from app.judge.found_words import (
    bound_words,
    broken_words,
    enough_words,
    move_words,
    price_words,
    same_words,
    still_words,
    stop_words,
    times_the_move,
    want_words,
)
from app.judge.freedoms import FindError
from app.systems.every import LIMIT_KINDS
from geometry.catalogue.result import SUFFIX
from geometry.errors import GeometryError

_SIGNS: Final = (">=", "<=", "=")


def find_in(call: Call, path: Path) -> Search:
    """Return the search that a call asks for, or refuse with the reason."""
    setup = _asked(load(path), call)
    try:
        step = None if call.step is None else _step(call.step, setup)
        search = find(setup, step)
    except EntryError as error:
        raise Refused(f"--step {call.step}: {error}", WRONG_CALL) from None
    except FindError as error:
        raise Refused(f"{path.name}: {error}") from None
    except GeometryError as error:
        words = "the car as proposed can't be built."
        raise Refused(unbuilt_words(words, error, setup, path, "")) from None
    assert search is not None  # nobody stops it here
    return search


def write_found(search: Search, path: Path, output: Path) -> None:
    """Write the car with the change that was found, which is on; wants of the call aren't kept."""
    setup, found = load(path), search.answer.setup
    write_car(output, path, setup.having(changes=(*setup.changes, found.changes[-1])))


# --- what was asked ---


def _step(typed: str, setup: Setup) -> float:
    step = parse_value(typed, "length", setup.units)
    if not 0.0 < step < inf:
        raise Refused(f"--step {typed}: a step is more than nothing.", WRONG_CALL)
    return step


def _asked(setup: Setup, call: Call) -> Setup:
    """Return the setup with the wants and rooms of the call beside its own."""
    called: dict[str, Want] = {}
    for text in call.wanted:
        want = _want(text)
        called[want.result] = _with_other_end(text, called.get(want.result), want)
    wants = [want for want in setup.wants if want.result not in called]
    wants += called.values()
    taken: set[str] = set()
    rooms = dict(setup.rooms)
    for text in call.room:
        name = text.partition("=")[0]
        if name in taken:
            raise Refused(f"--room {text}: {name} has its room already.", WRONG_CALL)
        taken.add(name)
        key, room = _room(setup, text, rooms)
        rooms[key] = room
    for text in call.alike:
        leader, *others = (_known_point(key, text) for key in text.split(","))
        if not others:
            raise Refused(f"--alike {text}: name two points or more.", WRONG_CALL)
        for key in others:
            own = rooms.get(key, Room())
            rooms[key] = Room(own.x, own.y, own.z, leader)
    if not wants:
        raise Refused("Nothing is wanted: say what with --want, or in the file.", WRONG_CALL)
    return setup.having(wants=tuple(wants), rooms=FrozenMap(rooms))


def _want(text: str) -> Want:
    sign = next((each for each in _SIGNS if each in text), "")
    name, _, typed = text.partition(sign) if sign else (text, "", "")
    names = _machine_names()
    if not sign or name not in names:
        hint = did_you_mean(name, names)
        words = hint or "name a result as in report --json, as camber_gain_deg_per_mm=-0.02"
        raise Refused(f"--want {text}: {words}.".replace("?.", "?"), WRONG_CALL)
    key = names[name]
    kind = LIMIT_KINDS[key]
    if typed == "found" and sign == "=":
        return Want(key, keep=True, kind=kind)
    value = _number(text, typed) * _inside(kind)
    if sign == "=":
        return Want(key, value, kind=kind)
    at_least, at_most = (value, None) if sign == ">=" else (None, value)
    return Want(key, at_least=at_least, at_most=at_most, kind=kind)


def _with_other_end(text: str, first: Want | None, second: Want) -> Want:
    """Return two wants of one result as one: at least this and at most that."""
    if first is None:
        return second
    low = first.at_least if second.at_least is None else second.at_least
    high = first.at_most if second.at_most is None else second.at_most
    ends = [end for each in (first, second) for end in (each.at_least, each.at_most)]
    if low is None or high is None or sum(end is not None for end in ends) != 2:
        words = "that result is wanted already: give it one value, or one >= and one <="
        raise Refused(f"--want {text}: {words}.", WRONG_CALL)
    if low > high:
        raise Refused(f"--want {text}: at least is above at most.", WRONG_CALL)
    return replace(second, at_least=low, at_most=high)


def _machine_names() -> dict[str, str]:
    """Return the keys of results by their names in JSON; the front's where both ends have one."""
    names: dict[str, str] = {}
    for key, kind in LIMIT_KINDS.items():
        end, bare = split_key(key)
        names[f"{end}.{bare}{SUFFIX[kind]}"] = key
        names.setdefault(f"{bare}{SUFFIX[kind]}", key)
    return names


def _inside(kind: str) -> float:
    """Return what a number in the unit of JSON is multiplied by to get the value inside."""
    return PER_MM.get(kind, QUANTITIES[kind].mm_factor)


def _room(setup: Setup, text: str, rooms: Mapping[str, Room]) -> tuple[str, Room]:
    name, equals, span = text.partition("=")
    low_text, colon, high_text = span.partition(":")
    if not equals or not colon:
        words = "say from and to, as front.upper_front.z=-30:5"
        raise Refused(f"--room {text}: {words}.", WRONG_CALL)
    low, high = _number(text, low_text), _number(text, high_text)
    if low > high:
        raise Refused(f"--room {text}: {low_text} is above {high_text}.", WRONG_CALL)
    key, axis = split_coordinate(name)
    if is_point(key) and axis:
        own = rooms.get(key, Room())
        x, y, z = ((low, high) if axis == a else getattr(own, a) for a in AXES)
        return key, Room(x, y, z, own.alike)
    if number_row(name) is not None:
        size = _inside(kind_of(name, setup.readings))
        return name, Room(span=(low * size, high * size))
    hint = did_you_mean(name, KEYS) or "that is no point with its axis, and no value"
    raise Refused(f"--room {text}: {hint}.".replace("?.", "?"), WRONG_CALL)


def _known_point(key: str, text: str) -> str:
    if not is_point(key):
        hint = did_you_mean(key, filter(is_point, KEYS)) or f"{key} is no point"
        raise Refused(f"--alike {text}: {hint}.".replace("?.", "?"), WRONG_CALL)
    return key


def _number(text: str, typed: str) -> float:
    try:
        number = float(typed.replace("−", "-"))
    except ValueError:
        number = nan
    if not isfinite(number):
        raise Refused(f"{text}: “{typed}” is no number.", WRONG_CALL)
    return number


# --- the answer ---


def find_object(search: Search, path: Path) -> dict[str, object]:
    """Return the best answer and others beside it; mm and degrees."""
    return {
        "title": search.answer.setup.title,
        "file": path.name,
        "units": UNITS,
        **_answer(search.answer),
        "others": [_answer(other) for other in search.others],
        "same_wants": [list(pair) for pair in search.same],
        "batches": search.batches,
    }


def _answer(answer: Answer) -> dict[str, object]:
    return {
        "wants": [_reached(each) for each in answer.wants],
        "moves": _moves(answer),
        "size": answer.size,
        "at_bound": list(answer.at_bound),
        "at_limit": list(answer.at_limit),
        "sizes_without": {
            each.name: each.size for each in answer.held_back if each.size is not None
        },
        "prices": [
            {
                "bound": price.bound,
                "want": price.want,
                "per_mm": kind_number(price.per_mm, LIMIT_KINDS[price.want]),
            }
            for price in answer.prices
        ],
        "stopped_by": answer.stop.by,
        "is_enough": answer.is_enough,
        "broken_limits": [key_in(end, key) for end, key in _broken(answer)],
        "broken_clearances": [
            {"axle": check.clearance.end, "between": list(check.clearance.between)}
            for check in answer.broken_clearances
        ],
        "all_met": answer.is_met,
    }


def _broken(answer: Answer) -> Iterator[tuple[str, str]]:
    for study in answer.studies:
        keys = {check.result.key for check in answer.broken if check.result in study.results}
        yield from ((study.system.key, key) for key in sorted(keys))


def _reached(each: Reached) -> dict[str, object]:
    want, kind = each.want, each.want.kind

    def told(value: float | None) -> float | None:
        return None if value is None else kind_number(value, kind)

    wanted: object = told(want.value)
    if want.keep:
        wanted = "found"
    elif want.value is None:
        wanted = {"at_least": told(want.at_least), "at_most": told(want.at_most)}
    return {
        "name": f"{want.result}{SUFFIX[kind]}",
        "wanted": wanted,
        "found": told(each.found),
        "reached": told(each.reached),
        "within": told(each.within),
        "met": each.is_met,
    }


def _moves(answer: Answer) -> dict[str, object]:
    """Return the further move of each point, and the new value of each value."""
    change = answer.setup.changes[-1]
    values = {
        freedom.key: kind_number(freedom.start + move, freedom.kind)
        for freedom, move in zip(answer.freedoms, answer.moves, strict=True)
        if freedom.axis is None and move
    }
    return {**{key: list(move) for key, move in change.moves.items()}, **values}


def find_text(search: Search, path: Path, terminal: Terminal) -> str:
    """Return the answer in a shop's words: what moves, what it reaches, what stops it."""
    answer, page = search.answer, Page(terminal)
    units = answer.setup.units
    page.heading(answer.setup.title)
    page.paragraph(f"{path.name} · sought on top of the changes that are on", indent="")
    page.heading("What does it" if answer.is_met else "What comes nearest: not all can be had")
    _put_moves(page, answer)
    heads = [Column("", words=True), *map(Column, ("as found", "wanted", "within", "then"))]
    rows: list[Row] = [want_words(answer, each, units) for each in answer.wants]
    page.table([*heads, Column("unit", words=True), Column("", words=True)], rows)
    for name in answer.at_bound:
        page.paragraph(f"{upper_first(bound_words(answer, name))}.", "! ")
    for words in (*stop_words(answer, units), *price_words(answer, units)):
        page.paragraph(words, "! ")
    for words in (*broken_words(answer, units), *same_words(answer, search)):
        page.paragraph(words, "!! ")
    for number, other in enumerate(search.others, start=1):
        page.heading(f"Or else ({number}), {times_the_move(other, answer):.1f} times the move")
        _put_moves(page, other)
        if other.is_enough:
            page.paragraph(enough_words(other))
    return page.text()


def _put_moves(page: Page, answer: Answer) -> None:
    for words in [*move_words(answer, answer.setup.units)] or [f"{still_words(answer)}."]:
        page.paragraph(words, "- ")
