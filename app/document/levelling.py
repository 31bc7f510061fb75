"""Points measured over an uneven floor, or from a datum on a raked frame, set over the floor."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from math import degrees, dist
from typing import Final, cast

from app.document.edits import clean_text
from app.document.ends import ENDS, end_of, key_in
from app.document.heights import heights_in_reach
from app.document.keys import is_point
from app.document.model import MARK, FrozenMap, Setup, Units, Vec, mark_key
from app.document.planes import still_level
from app.document.point_names import point_words
from app.document.units import format_value
from geometry.dataclass import dataclass
from geometry.readings import Levelling, level_by

_FINEST: Final = 3  # decimals of a mm that are kept
_FLAT: Final = 0.005  # degrees


@dataclass(frozen=True)
class Levelled:
    """Measured points and marks as they lie once turned, and what the turn is."""

    places: dict[str, Vec]
    marks: dict[str, Vec]
    slopes: tuple[float, float]  # rad, falling ahead and falling to the left, as measured
    furthest: str  # the point that moves most
    move: float  # mm


def levelled(
    setup: Setup, pads: Sequence[Vec], heights: Sequence[float], ends: Collection[str]
) -> Levelled | None:
    """Return the points of these ends as they lie over the floor; None where the pads fix no plane.

    Marks that tapes tie to these ends, and to no other, were measured in the same axes.

    Parameters
    ----------
    pads
        Three places, measured like the points [mm].
    heights
        Of each over the floor [mm]: nought on the floor itself.
    ends
        "front", "rear": the ends whose points were measured so.
    """
    turn = level_by(pads, heights)
    points = {
        key: cast(Vec, place)
        for key, place in setup.readings.items()
        if is_point(key) and end_of(key) in ends
    }
    if turn is None or not points:
        return None
    marks = {mark_key(name): place for name, place in _marks_of(setup, ends).items()}
    turned = _turned(turn, {**points, **marks})
    places = {key: turned[key] for key in points}
    turned_marks = {key.removeprefix(MARK): turned[key] for key in marks}
    furthest = max(points, key=lambda key: dist(points[key], places[key]))
    slopes = (float(turn.slopes[0]), float(turn.slopes[1]))
    return Levelled(
        places, turned_marks, slopes, furthest, dist(points[furthest], places[furthest])
    )


def _marks_of(setup: Setup, ends: Collection[str]) -> dict[str, Vec]:
    """Return the marks that belong to these ends: all of them where no other end is measured."""
    others = {end_of(key) for key in setup.readings if is_point(key)} - set(ends)
    tied_elsewhere = {
        end
        for tape in setup.tapes
        for end in tape.between
        if others & {end_of(each) for each in tape.between}
    }
    tied = {end for tape in setup.tapes for end in tape.between} - tied_elsewhere
    return {
        name: place for name, place in setup.marks.items() if not others or mark_key(name) in tied
    }


def _turned(turn: Levelling, points: dict[str, Vec]) -> dict[str, Vec]:
    """Return turned points; x and y count from the same wheel centre and centreline as before."""
    wheels = (points.get(key_in(end, "wheel_centre")) for end in ENDS)
    wheel = next(filter(None, wheels), (0.0, 0.0, 0.0))
    centre = (wheel[0], 0.0, wheel[2])
    placed = turn.places([*points.values(), wheel], kept=centre)
    placed[:, 0] += wheel[0] - placed[-1, 0]
    x, y, z = placed[:-1].round(_FINEST).T.tolist()
    return dict(zip(points, zip(x, y, z, strict=True), strict=True))


def with_levelled(setup: Setup, result: Levelled) -> Setup:
    """Return the setup with the turned points as measured, and a line in the car's notes."""
    words = clean_text(levelled_words(setup, result, setup.units))
    notes = "\n".join(filter(None, (setup.notes.rstrip("\n"), words)))
    readings = FrozenMap({**setup.readings, **result.places})
    marks = FrozenMap({**setup.marks, **result.marks})
    planes = still_level(setup.planes, result.places)
    level = setup.having(evidence=readings, marks=marks, notes=notes, planes=planes)
    return heights_in_reach(level)


def levelled_words(setup: Setup, result: Levelled, units: Units, decimal: str = ".") -> str:
    """Return what the turn is, and what it moves most."""
    slopes = zip(map(degrees, result.slopes), ("ahead", "to the left"), strict=True)
    falls = [
        f"{abs(slope):.2f}° {'down' if slope > 0.0 else 'up'} {way}"
        for slope, way in slopes
        if abs(slope) >= _FLAT
    ]
    move = format_value(result.move, "length", units, decimal=decimal)
    point = point_words(result.furthest, setup.readings)
    told = f"What was measured as level lies {' and '.join(falls) or 'level'}".replace(".", decimal)
    what = "points and marks" if result.marks else "points"
    return f"{told}: {what} turned by that; {point} moves most, {move}."
