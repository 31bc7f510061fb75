"""A list of points laid over datum points of the car, and taken over as measured."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from math import hypot, sqrt
from pathlib import Path
from typing import Final, Literal, cast

import numpy as np

from app.document.address import end_of, left_of, mirrored
from app.document.atomic import reason
from app.document.faults import Fault, SetupFaults
from app.document.heights import heights_in_reach
from app.document.keys import ALL_KEYS
from app.document.model import MARK, FrozenMap, Setup, Vec, Within, frozen, mark_key
from app.document.moves import point_in
from app.document.point_list import Listed, PointList, read_point_list
from app.document.point_names import point_title
from app.document.units import number_of, unit_of
from geometry.dataclass import dataclass
from geometry.rigid import Laid, lay_over

Role = Literal["datum", "taken over", "not used"]
NOT_USED: Final = ""
_UNKNOWN: Final = 1.5
"""Uncertainty of a point that says nothing of it, as measured by tape: common practice, no source
(k = 2) [mm]."""
_FINEST: Final = 0.1  # mm: no uncertainty is told finer
_ODD_SIZE: Final = 0.02
"""How far the list may be larger or smaller than the car before its unit is asked about."""


@dataclass(frozen=True, slots=True)
class LaidPoint:
    """A point of the list in the car [mm]; the misfit is that of a datum, known less laid.

    `before` is how far it lies from what was read of the same point before, None where nothing was.
    """

    listed: Listed
    key: str
    role: Role
    place: Vec
    within: Vec
    misfit: Vec | None = None
    before: float | None = None


@dataclass(frozen=True)
class LaidList:
    """A list as it lies over its datum points; `size` is the car's over the list's."""

    points: tuple[LaidPoint, ...]
    size: float

    @property
    def worst(self) -> float:
        """Return the greatest misfit of a datum point [mm]."""
        return max(hypot(*point.misfit) for point in self.points if point.misfit is not None)

    @property
    def taken(self) -> tuple[LaidPoint, ...]:
        """Return the points that are taken over."""
        return tuple(point for point in self.points if point.role == "taken over")

    @property
    def is_of_odd_size(self) -> bool:
        """Tell whether list and car differ so much in size that units may have been mixed."""
        return abs(self.size - 1.0) > _ODD_SIZE


def read_list_file(path: Path, unit: str) -> PointList:
    """Return the points of a file; `unit` is that of a list which names none.

    Raises
    ------
    SetupFaults
        It can't be read, or some of its lines are no points.
    """
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        words = f"can't be read: {reason(error)}"
        raise SetupFaults([Fault(path.name, None, "", words, "")]) from None
    except UnicodeDecodeError:
        fault = Fault(path.name, None, "", "this is no text in UTF-8", "a list saved as CSV, UTF-8")
        raise SetupFaults([fault]) from None
    return read_point_list(text, path.name, unit)


def twice_words(keys: Mapping[str, str]) -> str:
    """Return which points of a list are said to be the same point of the car; empty if none."""
    used = [key for key in keys.values() if key]
    for key in used:
        if used.count(key) > 1:
            names = " and ".join(f"“{name}”" for name, other in keys.items() if other == key)
            return f"{names} of the list are both {key}"
    return ""


def odd_size_words(laid: LaidList) -> str:
    """Return that the list is larger or smaller than the car, and what that may come of."""
    larger = "smaller" if laid.size > 1.0 else "larger"
    times = max(laid.size, 1.0 / laid.size)
    return (
        f"The list is {times:.3g} times {larger} than the car: is it in another unit, or is a "
        "datum point another one than its name says?"
    )


def doubtful_words(setup: Setup, laid: LaidList) -> list[str]:
    """Return which datum points miss by more than they may, the worst first."""
    doubtful = []
    for point in laid.points:
        if point.misfit is not None:
            miss = hypot(*point.misfit)
            along = hypot(_own(point.listed), _known_deviation(setup, point.key))
            allowed = 2.0 * sqrt(3.0) * along
            doubtful += [(miss, allowed, point)] if miss > allowed else []
    return [
        f"“{point.listed.name}” misses by {_said(setup, miss)}; list and car allow "
        f"{_said(setup, allowed)}. Look again at it, or let another point hold the list."
        for miss, allowed, point in sorted(doubtful, key=lambda row: -row[0])
    ]


def _said(setup: Setup, length: float) -> str:
    return f"{number_of(length, 'length', setup.units)} {unit_of('length', setup.units)}"


def named_points(setup: Setup) -> dict[str, str]:
    """Return every point that this car can have, and its marks, by what a list may call it."""
    ends = {end_of(key) for key in setup.readings if key.endswith(".kind")}
    keys = [key.name for key in ALL_KEYS if key.kind == "point" and end_of(key.name) in ends]
    tails = [_plain(key.partition(".")[2]) for key in keys]
    names = {tail: key for tail, key in zip(tails, keys, strict=True) if tails.count(tail) == 1}
    names |= {_plain(key): key for key in keys}
    names |= {_plain(point_title(key, setup.readings)): key for key in keys}
    for mark in setup.marks:
        names |= {_plain(mark): mark_key(mark), _plain(mark_key(mark)): mark_key(mark)}
    return names


def matched(setup: Setup, points: PointList) -> dict[str, str]:
    """Return the key of each point of a list whose name says it; others are not used."""
    known_names = named_points(setup)
    return {listed.name: known_names.get(_plain(listed.name), NOT_USED) for listed in points.points}


def can_be_datum(setup: Setup, key: str) -> bool:
    """Tell whether the car says where a point or mark is."""
    return bool(key) and _known_place(setup, key) is not None


def lay_list(
    setup: Setup, points: PointList, keys: Mapping[str, str], datum: Collection[str]
) -> LaidList | None:
    """Lay a list over those of its points that the car knows, by their uncertainties.

    `keys` names what each point of the list is, `datum` the keys that hold it. None where they are
    fewer than three or in one line.
    """
    held = [point for point in points.points if keys.get(point.name) in datum]
    if len(held) < 3:
        return None
    known_places = [cast(Vec, _known_place(setup, keys[point.name])) for point in held]
    deviations = [
        sqrt(_own(point) ** 2 + _known_deviation(setup, keys[point.name]) ** 2) for point in held
    ]
    laid = lay_over([point.place for point in held], known_places, deviations)
    if laid is None:
        return None
    return LaidList(tuple(_laid_points(setup, points, keys, datum, laid)), laid.size)


def taken_over(setup: Setup, laid: LaidList, source: str) -> Setup:
    """Return the setup with the points of a list as measured; its datum points stay.

    `source` is the list's name, for the points' notes.
    """
    readings, within = dict(setup.readings), dict(setup.within)
    notes = dict(setup.point_notes)
    for point in laid.points:
        if point.role == "taken over":
            readings[point.key], within[point.key] = point.place, _one_or_three(point.within)
            notes[point.key] = f"from {source}: {point.listed.name}"
    return heights_in_reach(
        setup.having(
            evidence=FrozenMap(readings), within=FrozenMap(within), point_notes=FrozenMap(notes)
        )
    )


def _laid_points(
    setup: Setup,
    points: PointList,
    keys: Mapping[str, str],
    datum: Collection[str],
    laid: Laid,
) -> Iterator[LaidPoint]:
    places = laid.places([point.place for point in points.points])
    own = np.array([_own(point) for point in points.points])
    spreads = 2.0 * laid.deviations(places, own)
    for listed, place, spread in zip(points.points, places, spreads, strict=True):
        key = keys.get(listed.name, NOT_USED)
        is_point = bool(key) and not key.startswith(MARK)
        role: Role = "datum" if key in datum else "taken over" if is_point else "not used"
        known = _known_place(setup, key) if key else None
        misfit = None if known is None else _vector(np.subtract(known, place))
        yield LaidPoint(
            listed,
            key,
            role,
            _vector(place.round(3)),
            _vector(np.maximum(spread, _FINEST).round(1)),
            misfit if role == "datum" else None,
            None if misfit is None else hypot(*misfit),
        )


def _known_place(setup: Setup, key: str) -> Vec | None:
    """Return where a point was read, a right-hand one maybe as a mirror, or where a mark is."""
    if key.startswith(MARK):
        return setup.marks.get(key.removeprefix(MARK))
    if key in setup.readings:
        return point_in(setup.readings, key)
    left = left_of(key)
    return mirrored(point_in(setup.readings, left)) if left in setup.readings else None


def _known_deviation(setup: Setup, key: str) -> float:
    held = frozen(setup.within)
    if key.startswith(MARK):
        within: Within = held.get(key, 0.0)
    else:
        usual = cast(float, setup.readings.get("sheet.measured_within", _UNKNOWN))
        within = held.get(key, held.get(left_of(key), usual))
    three = within if isinstance(within, tuple) else (within,) * 3
    return max(hypot(*three) / sqrt(3.0) / 2.0, _FINEST / 2.0)


def _own(listed: Listed) -> float:
    within = _UNKNOWN if listed.within is None else listed.within
    return max(within, _FINEST) / 2.0


def _one_or_three(within: Vec) -> Within:
    return within[0] if len(set(within)) == 1 else within


def _vector(numbers: np.ndarray) -> Vec:
    x, y, z = (float(number) + 0.0 for number in numbers)
    return (x, y, z)


def _plain(name: str) -> str:
    """Return a name without what people write in different ways."""
    return " ".join(name.lower().replace("_", " ").replace(".", " ").replace(",", " ").split())
