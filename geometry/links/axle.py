"""A live axle on two lower links, two upper links and one lateral link: its parts.

Body axes (ISO 8855): X forward, Y left, Z up. The measured points are the pose of no travel and no
roll. The right side mirrors the left unless both are given.
"""

from __future__ import annotations

from functools import cached_property
from typing import Final

import numpy as np

from geometry.dataclass import dataclass
from geometry.errors import NoUpperLink
from geometry.vectors import Array, Point

LINK_RATE: Final = 2000.0
"""Axial rate of a link between its bushes when none is given [N/mm]; only the proportions of the
rates change a pose (common practice for rubber bushes, no source)."""


@dataclass(frozen=True)
class Link:
    """An elastic link between the body and the axle.

    Parameters
    ----------
    body, axle
        Centres of its two bushes in the measured pose [mm].
    rate
        Axial rate, both bushes in series [N/mm].
    length
        Unloaded length [mm]; None for the measured one. Another one is a link that was kept while
        a hole moved, or made to another length.
    """

    body: Point
    axle: Point
    rate: float = LINK_RATE
    length: float | None = None


@dataclass(frozen=True)
class Strut:
    """A damper, or the line of any telescopic part: ends on body and axle [mm]."""

    body: Point
    axle: Point


@dataclass(frozen=True)
class Coil(Strut):
    """A coil spring: its seats [mm], its rate [N/mm] and its free length [mm]."""

    rate: float
    free_length: float


@dataclass(frozen=True)
class LinkAxle:
    """The axle with everything that holds it, as measured.

    Several axles alike in what they have are one as well: every number of theirs, in points too,
    an array of shape (n,). See `geometry.links.many`.

    Parameters
    ----------
    lower_left, lower_right, upper_left, upper_right
        Links along the car; one upper link may be None.
    lateral
        Link across the car.
    wheel_left, wheel_right
        Wheel centres [mm].
    tyre_radius
        Loaded radius [mm].
    coil_left, coil_right, damper_left, damper_right
        Springs and dampers; they don't shape the pose.
    """

    lower_left: Link
    lower_right: Link
    upper_left: Link | None
    upper_right: Link | None
    lateral: Link
    wheel_left: Point
    wheel_right: Point
    tyre_radius: float
    coil_left: Coil
    coil_right: Coil
    damper_left: Strut
    damper_right: Strut

    def __post_init__(self) -> None:
        if self.upper_left is None and self.upper_right is None:
            raise NoUpperLink

    @cached_property
    def links(self) -> dict[str, Link]:
        """The links there are, by name, in the order of every array over links."""
        named = {
            "lower left link": self.lower_left,
            "lower right link": self.lower_right,
            "upper left link": self.upper_left,
            "upper right link": self.upper_right,
            "lateral link": self.lateral,
        }
        return {name: link for name, link in named.items() if link is not None}

    @cached_property
    def centre(self) -> Array:
        """Midpoint of the wheel centres in the measured pose [mm], shape (3,), or (n, 3) of n."""
        left, right = np.array(self.wheel_left).T, np.array(self.wheel_right).T
        return np.asarray(0.5 * (left + right), dtype=float)

    @property
    def track(self) -> float:
        """Distance between the wheel centres across the car [mm]."""
        return self.wheel_left[1] - self.wheel_right[1]
