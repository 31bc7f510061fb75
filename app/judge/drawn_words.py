"""What is said while a result is drawn by hand, and of the step that stays."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.document.address import is_right
from app.document.keys import KEYS
from app.document.model import Setup, Units
from app.document.plain_text import lower_first, upper_first
from app.document.point_names import point_words
from app.judge.drawn import Drew
from app.judge.drawn_walls import AtWall
from app.judge.freedoms import Freedom
from app.words.moves import way
from app.words.results import beside_limit, limit_named, result_text, result_unit
from geometry.catalogue.result import Result

_OTHERWISE: Final = "Find where this must be (Ctrl+Shift+F) seeks another way."
_NAMED: Final = 2  # bounds that are named, where there are more


def drawn_name(results: Sequence[Result]) -> str:
    """Return what is drawn in a sentence: "roll centre height", "instant centre"."""
    title = lower_first(results[0].title)
    return title.partition(",")[0] if len(results) > 1 else title


def step_words(
    results: Sequence[Result], values: Sequence[float], units: Units, decimal: str
) -> str:
    """Return the step of history: "draw roll centre height to 105.0 mm"."""
    figures = [
        result_text(value, result, units, decimal=decimal)
        for result, value in zip(results, values, strict=True)
    ]
    return f"draw {drawn_name(results)} to {' and '.join(figures)}"


def stuck_words(results: Sequence[Result], drew: Drew, units: Units, decimal: str) -> str:
    """Return why a result stays behind the hand; empty where it doesn't."""
    if not drew.stuck:
        return ""
    start = f"{upper_first(drawn_name(results))} goes no further"
    if drew.walls:
        return f"{start}: {_wall_words(drew.walls[0], units, decimal)} {_OTHERWISE}"
    ends = [_end_words(drew.setup, *bound) for bound in drew.bounds]
    if not ends:
        return f"{start}: more of any move would bring it back."
    names = [*dict.fromkeys(ends)]
    more = [f"{len(names) - _NAMED} more"] if len(names) > _NAMED else []
    whose = "its" if len(names) == 1 else "their"
    return f"{start}. At the end of {whose} room: {'; '.join([*names[:_NAMED], *more])}."


def _wall_words(wall: AtWall, units: Units, decimal: str) -> str:
    """Return a limit that stops the hand, and what it would have to be where that is."""
    whose = f", {wall.side} wheel," if wall.side else ""
    limit = limit_named(wall.limit, wall.result, units, decimal=decimal)
    what = f"{lower_first(wall.result.title)}{whose} is at its {limit}"
    if wall.value is None:
        return f"{what}."
    value = beside_limit(wall.value, wall.limit, wall.result, units, decimal=decimal)
    unit = result_unit(wall.result, units)
    figure = f"{value}{'' if unit.startswith('°') or not unit else ' '}{unit}"
    about = "about " if wall.is_about else ""
    return f"{what}, which would have to let it be {about}{figure}."


def reach_words(results: Sequence[Result], drew: Drew, units: Units, decimal: str) -> str:
    """Return how far one result goes: "It comes to 128.5 mm."; nothing of two."""
    if len(results) > 1:
        return ""
    return f"It comes to {result_text(drew.values[0], results[0], units, decimal=decimal)}."


def _end_words(setup: Setup, freedom: Freedom, is_high: bool) -> str:
    """Return a move at its end: "upper front pivot, higher"."""
    step = 1.0 if is_high else -1.0
    if freedom.axis is None:
        return f"{lower_first(KEYS[freedom.key].title)}, {'more' if is_high else 'less'}"
    side = -1.0 if is_right(freedom.key) else 1.0
    which = way(freedom.axis, step * freedom.sign, side)
    return f"{point_words(freedom.key, setup.evidence)}, {which}"
