"""Which point of the car a name in somebody else's list means."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from app.document.ends import end_of, name_in_end
from app.document.keys import ALL_KEYS
from app.document.model import MARK, Setup, mark_key
from app.document.point_list import PointList
from app.document.point_names import point_title
from app.document.schema import Key

NOT_USED: Final = ""


def known_points(setup: Setup) -> tuple[str, ...]:
    """Return every point that a car of this kind can have, and its marks."""
    kinds: set[object] = {value for name, value in setup.readings.items() if name.endswith(".kind")}
    for change in setup.changes:  # an axle that is to be converted
        kinds |= {value for name, value in change.sets.items() if name.endswith(".kind")}
    ends = {end_of(name) for name in setup.readings if name.endswith(".kind")}
    points = [key.name for key in ALL_KEYS if _is_of(key, setup, ends, kinds)]
    return (*points, *map(mark_key, setup.marks))


def _is_of(key: Key, setup: Setup, ends: set[str], kinds: set[object]) -> bool:
    if key.kind != "point":
        return False
    is_of_kind = end_of(key.name) in ends and bool(key.fits & kinds)
    return is_of_kind or key.name in setup.readings


def matched(setup: Setup, points: PointList) -> dict[str, str]:
    """Return the key of each point of a list whose name says it; others are not used."""
    called = _called(setup)
    found = ((listed.name, called.get(_plain(listed.name), ())) for listed in points.points)
    return {name: keys[0] if len(keys) == 1 else NOT_USED for name, keys in found}


def unclear_words(setup: Setup, names: Iterable[str], how: str) -> list[str]:
    """Return which of these names may each mean more than one point; `how` is the way to say."""
    called = _called(setup)
    return [
        f"“{name}” may be {' or '.join(keys)}: {how}."
        for name in names
        if len(keys := called.get(_plain(name), ())) > 1
    ]


def _called(setup: Setup) -> dict[str, tuple[str, ...]]:
    """Return the points and marks that each plain name can mean."""
    called: dict[str, tuple[str, ...]] = {}
    for key in known_points(setup):
        tail = name_in_end(key)
        title = tail if key.startswith(MARK) else point_title(key, setup.readings)
        for name in {_plain(name) for name in (key, tail, title)}:
            called[name] = (*called.get(name, ()), key)
    return called


def _plain(name: str) -> str:
    """Return a name without what people write in different ways."""
    return " ".join(name.lower().replace("_", " ").replace(".", " ").replace(",", " ").split())
