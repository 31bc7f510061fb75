"""A list of points laid over datum points of the car, and taken over as measured."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from math import hypot, sqrt
from pathlib import Path
from statistics import fmean
from typing import Final, Literal, cast

import numpy as np

from app.document.address import left_of, mirrored
from app.document.adjusting import TOO_BAD
from app.document.atomic import reason
from app.document.faults import Fault, SetupFaults
from app.document.heights import heights_in_reach
from app.document.listed_names import NOT_USED
from app.document.model import MARK, FrozenMap, Setup, Vec, Within, frozen
from app.document.moves import point_in
from app.document.planes import measured_otherwise
from app.document.point_list import Listed, PointList, read_point_list
from app.document.units import format_value
from geometry.dataclass import dataclass
from geometry.rigid import Laid, lay_over
from geometry.survey.doubt import chance_of_more

Role = Literal["datum", "taken over", "not used"]
_UNKNOWN: Final = 1.5
"""Uncertainty of a point that says nothing of it, as measured by tape: common practice, no source
(k = 2) [mm]."""
_FINEST: Final = 0.1  # mm: no uncertainty is told finer
"""Probability of a misfit under which the list isn't the car's, or was misread."""
_LEAST: Final = 3  # datum points that fix a list
_MUCH: Final = 3.0
"""How many times better a mirror image has to fit, and by as many standard uncertainties."""
_ODD_SIZE: Final = 0.02
"""How far the list may be larger or smaller than the car before its unit is asked about."""


@dataclass(frozen=True, slots=True)
class LaidPoint:
    """A point of the list in the car [mm]; the misfit is that of a datum, known less laid.

    `before` is how far it lies from what was read of the same point before, None where nothing was.
    `off` is the same in standard uncertainties of list and car together.
    """

    listed: Listed
    key: str
    role: Role
    place: Vec
    within: Vec
    misfit: Vec | None = None
    before: float | None = None
    off: float | None = None


@dataclass(frozen=True)
class LaidList:
    """A list as it lies over its datum points; `size` is the car's over the list's.

    `chance` is how probable a misfit at least this large is by the uncertainties of list and car.
    `mirrored` is the greatest misfit of the list's mirror image [mm] where that fits much better,
    `suspect` the name of the one datum point without which all others fit, and within what [mm].
    `fits_either_hand` where the mirror image fits as well, so that nobody can tell left from right.
    """

    points: tuple[LaidPoint, ...]
    size: float
    chance: float = 1.0
    mirrored: float | None = None
    suspect: tuple[str, float] | None = None
    fits_either_hand: bool = False

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

    @property
    def fits(self) -> bool:
        """Tell whether the list lies over its datum points as its uncertainties let expect."""
        return self.chance >= TOO_BAD and self.mirrored is None


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


def odd_size_words(laid: LaidList, decimal: str = ".") -> str:
    """Return that the list is larger or smaller than the car, and what that may come of."""
    larger = "smaller" if laid.size > 1.0 else "larger"
    times = max(laid.size, 1.0 / laid.size)
    size = f"{times:.3g}".replace(".", decimal)
    return (
        f"The list is {size} times {larger} than the car: is it in another unit, or is a datum "
        "point another one than its name says?"
    )


def doubtful_words(setup: Setup, laid: LaidList, decimal: str = ".") -> list[str]:
    """Return which datum points miss by more than they may, the worst first."""
    doubtful = []
    for point in laid.points:
        if point.misfit is not None:
            miss = hypot(*point.misfit)
            along = _deviation(setup, point.listed, point.key)
            allowed = 2.0 * sqrt(3.0) * along
            doubtful += [(miss, allowed, point)] if miss > allowed else []
    return [
        f"“{point.listed.name}” misses by {_said(setup, miss, decimal)}; list and car allow "
        f"{_said(setup, allowed, decimal)}. Look again at it, or let another point hold the list."
        for miss, allowed, point in sorted(doubtful, key=lambda row: -row[0])
    ]


def misfit_words(setup: Setup, laid: LaidList, decimal: str = ".") -> list[str]:
    """Return how the list lies, and what doesn't fit."""
    words = [f"The list lies within {_said(setup, laid.worst, decimal)} of its datum points."]
    if laid.mirrored is not None:
        words.append(
            "The list is mirrored: its axes are left-handed. With the sign of one axis turned "
            f"round it would lie within {_said(setup, laid.mirrored, decimal)}."
        )
    elif laid.suspect is not None:
        name, rest = laid.suspect
        words.append(
            f"Without “{name}” the others would lie within {_said(setup, rest, decimal)}. Look "
            "again at it, or let another point hold the list."
        )
    else:
        words += [odd_size_words(laid, decimal)] if laid.is_of_odd_size else []
        words += doubtful_words(setup, laid, decimal)
    if laid.fits_either_hand:
        words.append(hand_words(laid))
    return words


def hand_words(laid: LaidList) -> str:
    """Return that the list may be mirrored without anybody seeing it."""
    count = sum(point.role == "datum" for point in laid.points)
    datum = (
        "Three datum points" if count == _LEAST else f"These {count} datum points, in one plane,"
    )
    return (
        f"{datum} can't tell left from right: if the list's axes are left-handed, its mirror image "
        "lies as well. Use a fourth that is out of their plane, or look at one point on the car."
    )


def refusal_words(laid: LaidList) -> str:
    """Return why a list isn't taken over; empty where it fits."""
    if laid.mirrored is not None:
        return "The list is mirrored, so nothing is taken over"
    if laid.fits:
        return ""
    return (
        "The list misses its datum points by more than list and car allow, so nothing is taken over"
    )


def _said(setup: Setup, length: float, decimal: str) -> str:
    return format_value(length, "length", setup.units, decimal=decimal)


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
    laid = _lay(setup, points, keys, datum)
    if laid is None:
        return None
    mirror = PointList(tuple(map(_mirrored, points.points)), points.unit)
    other = _lay(setup, mirror, keys, datum)
    off = _off(laid)
    is_mirrored = other is not None and off > _MUCH * max(_off(other), 1.0)
    if other is not None and is_mirrored:
        return replace(laid, mirrored=other.worst)
    if other is not None and laid.fits and _off(other) <= _MUCH * max(off, 1.0):
        laid = replace(laid, fits_either_hand=True)
    return laid if laid.fits else replace(laid, suspect=_suspect(setup, points, keys, datum))


def _suspect(
    setup: Setup, points: PointList, keys: Mapping[str, str], datum: Collection[str]
) -> tuple[str, float] | None:
    """Return the datum point without which all others fit best, and within what [mm]."""
    fits = []
    for listed in points.points:
        key = keys.get(listed.name)
        if key in datum and len(datum) > _LEAST:
            less = _lay(setup, points, keys, {*datum} - {key})
            fits += [(less.chance, listed.name, less.worst)] if less and less.fits else []
    return max(fits)[1:] if fits else None


def _lay(
    setup: Setup, points: PointList, keys: Mapping[str, str], datum: Collection[str]
) -> LaidList | None:
    held = [point for point in points.points if keys.get(point.name) in datum]
    known_places = [cast(Vec, _known_place(setup, keys[point.name])) for point in held]
    deviations = [_deviation(setup, point, keys[point.name]) for point in held]
    laid = lay_over([point.place for point in held], known_places, deviations)
    if laid is None:
        return None
    laid_points = tuple(_laid_points(setup, points, keys, datum, laid))
    squares = sum(point.off**2 for point in laid_points if point.role == "datum" and point.off)
    chance = chance_of_more(squares, 3 * len(held) - 6)  # less one shift and one turn
    return LaidList(laid_points, laid.size, chance)


def _mirrored(listed: Listed) -> Listed:
    """Return a point of a list as it is in axes of the other hand."""
    return replace(listed, place=mirrored(listed.place))


def _off(laid: LaidList) -> float:
    """Return how far off the points lie that the car knows, in standard uncertainties.

    All of them, since datum points in one plane fit a mirror image as well as the list.
    """
    return sqrt(fmean(point.off**2 for point in laid.points if point.off is not None) / 3.0)


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
    taken = [point.key for point in laid.points if point.role == "taken over"]
    return heights_in_reach(
        setup.having(
            evidence=FrozenMap(readings),
            within=FrozenMap(within),
            point_notes=FrozenMap(notes),
            planes=measured_otherwise(setup.planes, taken),
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
        before = None if misfit is None else hypot(*misfit)
        yield LaidPoint(
            listed,
            key,
            role,
            _vector(place.round(3)),
            _vector(np.maximum(spread, _FINEST).round(1)),
            misfit if role == "datum" else None,
            before,
            None if before is None else before / _deviation(setup, listed, key),
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


def _deviation(setup: Setup, listed: Listed, key: str) -> float:
    """Return the standard uncertainty of list and car together, along each axis [mm]."""
    return hypot(_own(listed), _known_deviation(setup, key))


def _own(listed: Listed) -> float:
    within = _UNKNOWN if listed.within is None else listed.within
    return max(within, _FINEST) / 2.0


def _one_or_three(within: Vec) -> Within:
    return within[0] if len(set(within)) == 1 else within


def _vector(numbers: np.ndarray) -> Vec:
    x, y, z = (float(number) + 0.0 for number in numbers)
    return (x, y, z)
