"""The stated spring compared with the weight it carries: two measurements of one force."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from app.document.model import Units
from app.document.units import format_value
from geometry.dataclass import dataclass
from geometry.front.axle import Front

if TYPE_CHECKING:
    from geometry.leaf.rear import LeafRear
    from geometry.links.car import LinkRear

_NAMES: Final = {
    "length": "Free length",
    "torque": "Torsion bar's torque",
    "arch": "Free arch of the leaves",
}


@dataclass(frozen=True)
class SpringCheck:
    """The stated value and the one that follows from the weighed corner, at the measured height.

    `kind` is "length" (a coil's free length, mm), "torque" (a torsion bar's, N·mm) or "arch" (a
    leaf spring's free arch, mm); `force` is the coil's force there by its weight and by its free
    length [N].
    """

    kind: Literal["length", "torque", "arch"]
    given: float
    weighed: float
    force: tuple[float, float] | None = None

    @property
    def difference(self) -> float:
        """Return the stated value minus the one that follows from the weight."""
        return self.given - self.weighed

    @property
    def agrees(self) -> bool:
        """Tell whether both agree as well as a tape and a scale can tell."""
        near = {"length": 3.0, "torque": 0.03 * self.weighed, "arch": 8.0}[self.kind]
        return abs(self.difference) <= near

    def words(self, units: Units, decimal: str = ".") -> str:
        """Say both figures and the difference."""
        quantity = "torque" if self.kind == "torque" else "length"
        stated, weighed, more = (
            format_value(value, quantity, units, decimal=decimal)
            for value in (self.given, self.weighed, abs(self.difference))
        )
        way = "more" if self.difference > 0 else "less"
        name = _NAMES[self.kind]
        says = f"{name} given as {stated}; the weighed corner asks for {weighed}: {more} {way}"
        return f"{says}{self._force_words(units, decimal)}."

    def _force_words(self, units: Units, decimal: str) -> str:
        if self.force is None:
            return ""
        weighed, by_length = (
            format_value(value, "force", units, decimal=decimal) for value in self.force
        )
        return f" (spring force {by_length} by its length, {weighed} by weight)"


def spring_check(front: Front) -> SpringCheck | None:
    """Compare a measured car's spring with its weight; None where one of them isn't given."""
    spring, reference = front.car.spring, front.reference
    if spring is None or front.car.sprung_mass is None or reference.force is None:
        return None
    force = float(reference.force.mean())
    if spring.kind == "torsion bar":
        return None if spring.preload is None else SpringCheck("torque", spring.preload, force)
    if spring.free_length is None or not spring.rate or reference.compression is None:
        return None
    weighed = float((reference.force / spring.rate - reference.compression).mean())
    by_length = force + spring.rate * (spring.free_length - weighed)
    return SpringCheck("length", spring.free_length, weighed, (force, by_length))


def leaf_check(leaf: LeafRear) -> SpringCheck | None:
    """Compare a measured leaf spring's free arch with the one with which it carries the weight."""
    from geometry.leaf.ride import arch  # late, since most cars are shown without

    given_arch, free = leaf.car.pack.free_arch, leaf.reference.free
    if given_arch is None or free is None:
        return None
    return SpringCheck("arch", given_arch, arch(leaf.loop, free))


def coil_check(links: LinkRear) -> SpringCheck | None:
    """Compare the coils of a measured axle on links with the weight."""
    car, weighed = links.car, links.reference.free
    if car.free_given is None or car.load is None or weighed is None or not car.has_coils:
        return None
    force = float(links.solve(np.zeros(1), np.zeros(1)).rates.coil_force[0, 0])
    by_length = force + car.axle.coil_left.rate * (car.free_given - weighed)
    return SpringCheck("length", car.free_given, weighed, (force, by_length))
