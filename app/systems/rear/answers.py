"""What a study of the rear answers, as plain values: light to load where no rear is shown."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from app.document.model import Setup
from app.systems.front.study import Ranges
from geometry.catalogue.front import Result
from geometry.vectors import Array

if TYPE_CHECKING:
    from geometry.leaf.load import LoadCurve
    from geometry.leaf.poses import LeafPoses
    from geometry.leaf.rear import LeafRear
    from geometry.leaf.single import Hop
    from geometry.leaf.wind_up import WindUp
    from geometry.links.car import LinkRear
    from geometry.links.results import LinkAxleResults


@dataclass(frozen=True)
class RearSweep:
    """Results over one driver: arrays (n,) by key; where not reached they mean nothing.

    `leaf` or `links` is where the axle is, by what is fitted.
    """

    driver: str
    at: Array
    values: Mapping[str, Array]
    reached: Array
    links: LinkAxleResults | None = None
    leaf: LeafPoses | None = None


@dataclass(frozen=True)
class RearCar:
    """One car's rear and its answers; `leaf` or `links` is what is fitted.

    `at_travel` solves one pose, with a level body.
    """

    kind: str
    leaf: LeafRear | None
    links: LinkRear | None
    rest: RearSweep
    travel: RearSweep
    roll: RearSweep
    single: dict[str, float]
    twist: WindUp | None = None
    hop: Hop | None = None
    curve: LoadCurve | None = None
    by_grip: bool = False
    steer: None = None
    at_travel: Callable[[float], RearSweep] | None = field(default=None, compare=False, repr=False)

    @cached_property
    def settled(self) -> RearSweep | None:
        """The pose at the settled height, None where it isn't known."""
        if "settled_travel" not in self.single or self.at_travel is None:
            return None
        return self.at_travel(self.single["settled_travel"])


@dataclass(frozen=True)
class RearStudy:
    """Both rears' answers; the same object twice when no change that is on concerns the rear."""

    setup: Setup
    ranges: Ranges
    measured: RearCar
    proposed: RearCar
    results: tuple[Result, ...]
    missing: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    short: bool = False

    @property
    def changed(self) -> bool:
        """Tell whether the proposal differs from the measured car."""
        return self.proposed is not self.measured


def has_rear(setup: Setup) -> bool:
    """Tell whether a setup gives a rear."""
    return "rear.kind" in setup.evidence
