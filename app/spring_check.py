"""The spring as it is declared against the weight it carries: two measurements of one force."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from app.document.model import Units
from app.document.units import format_value
from geometry.front_axle import Front


@dataclass(frozen=True)
class SpringCheck:
    """What was given and what the weighed corner asks for, at the measured height.

    `kind` is "length" (a coil's free length, mm) or "torque" (a torsion bar's, N·mm); `force` is
    the coil's force there by its weight and by its free length [N].
    """

    kind: Literal["length", "torque"]
    given: float
    weighed: float
    force: tuple[float, float] | None = None

    @property
    def difference(self) -> float:
        """Return how much more was given than the weight asks for."""
        return self.given - self.weighed

    @property
    def agrees(self) -> bool:
        """Tell whether both agree as well as a tape and a scale can tell."""
        near = 3.0 if self.kind == "length" else 0.03 * self.weighed
        return abs(self.difference) <= near

    def words(self, units: Units, decimal: str = ".") -> str:
        """Say both figures and the difference."""
        given, weighed, more = (
            format_value(value, self.kind, units, decimal=decimal)
            for value in (self.given, self.weighed, abs(self.difference))
        )
        way = "more" if self.difference > 0 else "less"
        name = "Free length" if self.kind == "length" else "Torsion bar's torque"
        says = f"{name} given as {given}; the weighed corner asks for {weighed}: {more} {way}"
        return f"{says}{self._force_words(units, decimal)}."

    def _force_words(self, units: Units, decimal: str) -> str:
        if self.force is None:
            return ""
        weighed, given = (
            format_value(value, "force", units, decimal=decimal) for value in self.force
        )
        return f" (spring force {given} by its length, {weighed} by weight)"


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
