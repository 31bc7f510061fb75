"""What a row can choose from: results of the car that is open, and what of it may move."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.document.ends import end_of, is_in, key_in, name_in_end, split_key
from app.document.freed import untold_keys
from app.document.keys import KEYS, is_point, number_row
from app.document.model import Setup
from app.document.plain_text import upper_first
from app.document.point_names import point_title
from app.panels.lists.points_table import points_of
from app.panels.lists.values_table import settable_keys
from app.session.session import Session
from app.systems.every import BY_KEY
from app.systems.study_results import results_of
from geometry.catalogue.every import result_of

Choice = tuple[str, str]  # key and title

_POSES: Final = ("travel", "roll", "steer")  # are chosen, not wanted


def result_choices(session: Session) -> list[Choice]:
    """Return the results of the car that can be wanted, by their names in the file."""
    has_both = len(session.systems()) > 1
    return [
        (key_in(study.system.key, result.key), _titled(study.system.key, result.title, has_both))
        for study in sorted(session.car(), key=lambda study: study.system.key)
        for result in results_of(study)
        if result.key not in _POSES and not study.missing.get(result.key)
    ]


def result_title(session: Session, name: str) -> str:
    """Return what a result is called, whether this car has it or not."""
    end, key = split_key(name)
    result = result_of(BY_KEY[end].catalogue, key)
    title = key if result is None else result.title
    return _titled(end, title, len(session.systems()) > 1)


def untold_because(session: Session, name: str) -> str:
    """Say why this car doesn't tell a result; empty where it does."""
    end, key = split_key(name)
    study = next((study for study in session.car() if study.system.key == end), None)
    if study is None:
        return "This end of the car isn't given, or can't be built."
    needs = [KEYS[each].in_sentence for each in study.missing.get(key, ()) if each in KEYS]
    if needs:
        return f"This car doesn't tell it yet. It needs: {', '.join(needs)}."
    is_told = any(result.key == key for result in results_of(study))
    return "" if is_told else "This car has no such result."


def thing_choices(session: Session) -> list[Choice]:
    """Return what may be given room: adjusters, points, then values that a change can set."""
    setup, has_both = session.history.value, len(session.systems()) > 1
    choices: list[Choice] = []
    for system in session.systems():
        points = (key for key in points_of(setup, system.key) if not fixed_because(session, key))
        values = (key for key in settable_keys(setup, system) if KEYS[key].is_number)
        untold = (key for key in untold_keys(setup) if is_in(system.key, key))
        own = [*_adjusters(setup, system.key), *points, *values, *untold]
        choices += [(key, _titled(system.key, thing_title(setup, key), has_both)) for key in own]
    return list(dict(choices).items())


def thing_title(setup: Setup, key: str) -> str:
    """Return what something that may move is called."""
    if key in setup.adjusters:
        return upper_first(name_in_end(key).replace("_", " "))
    row = KEYS.get(key) or number_row(key)
    return point_title(key, setup.evidence) if row is None or is_point(key) else row.title


def fixed_because(session: Session, key: str) -> str:
    """Say why a point can't be moved; empty where it can."""
    system = BY_KEY.get(end_of(key))
    return "" if system is None else system.fixed_because(session.history.value, key)


def _adjusters(setup: Setup, end: str) -> Iterator[str]:
    """Yield what moves pivots; rods are set when the car is aligned."""
    return (key for key, each in setup.adjusters.items() if each.at and is_in(end, key))


def _titled(end: str, title: str, has_both: bool) -> str:
    return f"{BY_KEY[end].title}: {title}" if has_both else title
