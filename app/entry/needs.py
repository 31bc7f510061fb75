"""The results that a car's measurements suffice for, and the keys the others still need."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from app.document.model import Setup, Value
from app.document.plain_text import lower_first
from app.document.point_names import point_title
from geometry.catalogue.front import BY_KEY
from geometry.dataclass import dataclass

_ARMS: Final = (
    "front.upper_front",
    "front.upper_rear",
    "front.upper_ball",
    "front.lower_front",
    "front.lower_rear",
    "front.lower_ball",
)
_BALLS: Final = ("front.upper_ball", "front.lower_ball")
_WHEEL: Final = ("front.wheel_centre", "front.tyre_radius", "front.camber", "front.toe")
_TIE: Final = ("front.tie_inner", "front.tie_outer")
_COIL: Final = ("front.spring_arm", "front.spring_body")
_DAMPER: Final = ("front.damper_arm", "front.damper_body")


@dataclass(frozen=True, slots=True)
class Row:
    """Some results of the catalogue that need the same keys, and the points that they need."""

    title: str
    results: tuple[str, ...]
    points: tuple[str, ...] = ()
    board: bool = False  # without it the car can't be put on the board

    @property
    def needs(self) -> tuple[str, ...]:
        """Return the keys that any of its results needs: values first, then points."""
        needed = [key for name in self.results for key in BY_KEY[name].needs]
        values = (key for key in needed if key not in self.points)
        return tuple(dict.fromkeys((*values, *self.points)))

    def fits(self, spring: str) -> bool:
        """Tell whether a car with front springs of a kind has any of its results."""
        return any(BY_KEY[name].only_with in ("", spring) for name in self.results)


ROWS: Final = (
    Row("Caster and kingpin", ("caster", "kingpin_inclination"), _BALLS),
    Row("Scrub radius and trail", ("scrub_radius", "mechanical_trail"), (*_BALLS, *_WHEEL)),
    Row(
        "Roll centre and camber gain",
        ("roll_centre_height", "camber_gain"),
        (*_ARMS, *_WHEEL),
        board=True,
    ),
    Row("Bump steer", ("bump_steer",), (*_ARMS, *_WHEEL, *_TIE), board=True),
    Row("Spring's motion ratio", ("spring_motion_ratio",), _COIL),
    Row("Damper's motion ratio", ("damper_motion_ratio",), _DAMPER),
    Row("Wheel rate", ("wheel_rate",), _COIL),
    Row("Ride frequency and settled height", ("ride_frequency", "settled_travel"), _COIL),
    Row("Ride rate with the tyre", ("ride_rate",)),
    Row("Anti-dive", ("anti_dive",)),
    Row("Ackermann share", ("ackermann",)),
    Row("Coil bind", ("coil_bind_travel",)),
    Row("Damper's ends of travel", ("damper_bump_travel", "damper_droop_travel")),
)
_SAID: Final = (  # what these are for stands in their own words
    "front.spring.solid_length",
    "front.damper.closed_length",
    "front.damper.open_length",
    "front.tyre_rate",
)
_RELAY: Final = ("front.pitman_pivot", "front.pitman_end", "front.idler_pivot", "front.idler_end")


def needs_of(setup: Setup) -> tuple[tuple[Row, tuple[str, ...]], ...]:
    """Return each row that fits the car with the keys that it still lacks."""
    return tuple((row, lacking(setup, row)) for row in ROWS if row.fits(_spring(setup)))


def lacking(setup: Setup, row: Row) -> tuple[str, ...]:
    """Return the keys that a row still lacks in this car."""
    needs = row.needs
    if _spring(setup) == "torsion bar":
        needs = tuple(key for key in needs if key not in _COIL)
    if "bump_steer" in row.results and setup.evidence.get("front.steering.kind") == "relay":
        needs += _RELAY
    return tuple(key for key in needs if key not in setup.evidence)


def in_words(keys: tuple[str, ...], evidence: Mapping[str, Value], most: int = 3) -> str:
    """Return keys as words: "lower ball joint, wheel centre and 2 more"."""
    names = [said(point_title(key, evidence)) for key in keys]
    if len(names) > most:
        more = len(names) - most + 1
        return f"{', '.join(names[: most - 1])} and {more} more"
    return " and ".join(filter(None, (", ".join(names[:-1]), *names[-1:])))


def said(title: str) -> str:
    """Return a title as it stands in a sentence: "upper arm front pivot"."""
    plain = title.replace(", ", " ")
    return plain if plain.startswith("Ackermann") else lower_first(plain)


def purposes(key: str) -> str:
    """Return which results a key is for, in words."""
    return ", ".join(said(row.title) for row in ROWS if key in row.needs and key not in _SAID)


def _spring(setup: Setup) -> str:
    """Return the kind of the front's springs: "coil" where nothing is said."""
    kind = setup.evidence.get("front.spring.kind")
    return "torsion bar" if kind == "torsion bar" else "coil"
