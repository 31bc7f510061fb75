"""What the kernel can't build or reach, said in the setup's units and with the points' titles."""

from __future__ import annotations

from typing import Final

from app.document.keys import KEYS
from app.document.model import Units
from app.document.units import format_value
from geometry.errors import DegenerateGeometry, GeometryError, Unreachable
from geometry.rear_errors import AxleUnreachable, ImpossiblePack, ShackleOutOfReach

_OF_THE_REAR: Final = {"seat": "centre_bolt", "shackle_pivot": "shackle_body"}


def geometry_words(error: GeometryError, units: Units, decimal: str = ".") -> str:
    """Return the sentence for an error of the geometry."""
    if isinstance(error, DegenerateGeometry):
        return f"{point_title(error.first)} and {point_words(error.second)} {error.reason}."
    if isinstance(error, AxleUnreachable):
        return _axle_words(error, units, decimal)
    if isinstance(error, Unreachable):
        return _unreachable_words(error, units, decimal)
    if isinstance(error, ShackleOutOfReach):
        return _shackle_words(error, units, decimal)
    return str(error)


def error_keys(error: GeometryError | None) -> tuple[str, ...]:
    """Return the setup keys of what an error names: its two points, or the leaves."""
    if isinstance(error, ImpossiblePack):
        return ("rear.pack.leaf",)
    if isinstance(error, ShackleOutOfReach):
        return ("rear.rear_eye", "rear.shackle_body")
    if isinstance(error, DegenerateGeometry | Unreachable):
        keys = (_point_key(name) for name in (error.first, error.second))
        return tuple(key for key in keys if key is not None)
    return ()


def point_title(name: str) -> str:
    """Return a point's title: "Upper arm, front pivot"."""
    key = _point_key(name)
    return name.replace("_", " ") if key is None else KEYS[key].title


def _point_key(name: str) -> str | None:
    keys = (f"front.{name}", f"rear.{_OF_THE_REAR.get(name, name)}")
    return next((key for key in keys if key in KEYS), None)


def point_words(name: str) -> str:
    """Return a point's title inside a sentence."""
    title = point_title(name)
    return title[:1].lower() + title[1:]


def _unreachable_words(error: Unreachable, units: Units, decimal: str) -> str:
    def length(value: float, plus: bool = False) -> str:
        return format_value(value, "length", units, decimal=decimal, plus=plus)

    gap = error.available - error.wanted
    points = f"{point_title(error.first)} and {point_words(error.second)}"
    if error.limit is not None and abs(gap) < 0.05:
        return (
            f"{length(error.travel, True)} of travel is out of reach: the arms come to the end of "
            f"theirs at {length(error.limit, True)} ({points[:1].lower()}{points[1:]}, "
            f"{length(error.wanted)} apart)."
        )
    where = "at the measured height" if error.limit is None else f"at {length(error.travel, True)}"
    if error.rack:
        side = "left" if error.rack > 0 else "right"
        where = f"{where}, steered {length(abs(error.rack))} to the {side}"
    start = "" if error.limit is None else f" It starts at {length(error.limit, True)} of travel."
    word = "too far apart" if gap > 0 else "too close together"
    return (
        f"{points} are {length(abs(gap))} {word} {where}: the part between them is "
        f"{length(error.wanted)} long and the nearest they come to that is "
        f"{length(error.available)}.{start}"
    )


def _axle_words(error: AxleUnreachable, units: Units, decimal: str) -> str:
    def length(value: float, plus: bool = False) -> str:
        return format_value(value, "length", units, decimal=decimal, plus=plus)

    roll = format_value(error.roll, "angle", units, decimal=decimal, plus=True)
    points = f"{point_title(error.first)} and {point_words(error.second)}"
    return (
        f"The axle can't go to {length(error.travel, True)} with {roll} of roll: "
        f"{points[:1].lower()}{points[1:]} would be {length(error.available)} apart, and the link "
        f"between them is {length(error.wanted)} long. Move a link's end, or ask for less."
    )


def _shackle_words(error: ShackleOutOfReach, units: Units, decimal: str) -> str:
    def length(value: float, plus: bool = False) -> str:
        return format_value(value, "length", units, decimal=decimal, plus=plus)

    return (
        f"The axle stops at {length(error.limit, True)} of travel: the shackle has swung too far "
        f"towards the line of the spring. At {length(error.travel, True)} its two ends would be "
        f"{length(error.needed)} apart, and it is {length(error.shackle)} long: move its body pin, "
        f"or make it longer."
    )
