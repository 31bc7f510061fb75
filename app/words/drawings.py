"""The words and figures on a drawing, in the units and the decimal sign asked for."""

from __future__ import annotations

from app.document.model import Units
from app.document.units import format_value, number_of
from app.words.lengths import bench_number, length_words
from app.words.moves import way
from geometry.dataclass import dataclass


@dataclass(frozen=True, slots=True)
class DrawingWords:
    """Says figures in the drawing's units."""

    units: Units = "mm"
    decimal: str = "."

    def length(self, value: float, places: int | None = None) -> str:
        """Return a length with its unit, to the whole mm or the hundredth of an inch."""
        places = (0 if self.units == "mm" else 2) if places is None else places
        return format_value(value, "length", self.units, decimal=self.decimal, places=places)

    def risen(self, travel: float) -> str:
        """Return how far a wheel has come up into the body from where it was measured."""
        if self.bare(travel).strip("+−0.,") == "":
            return "where it was measured"
        way_words = "higher" if travel > 0 else "lower"
        return f"{self.length(abs(travel))} {way_words} in the body than measured"

    def bare(self, value: float) -> str:
        """Return a length without its unit, as on a dimension line."""
        return self.length(value).removesuffix(f" {self.units}")

    def taped(self, value: float) -> str:
        """Return a length that is measured with a rule, without its unit: a fraction of an inch."""
        return self.bare(value) if self.units == "mm" else bench_number(value, "in", self.decimal)

    def angle(self, value: float) -> str:
        """Return an angle in degrees."""
        return format_value(value, "angle", self.units, decimal=self.decimal)

    def step(self, value: float) -> str:
        """Return the size of a move: as few decimals as it needs, a fraction of an inch."""
        return length_words(abs(value), self.units, self.decimal).removesuffix(f" {self.units}")

    def move(self, axis: int, value: float, side: float = 1.0) -> str:
        """Return a move along an axis in words: "22 lower"; `side` is + left of the middle."""
        return f"{self.step(value)} {way(axis, value, side)}"

    def apart(self, across: float, up: float) -> tuple[str, str]:
        """Return two distances to a centre: metres where millimetres would be too many."""
        if self.units == "mm" and max(abs(across), abs(up)) >= 1000.0:
            return self._metres(across), self._metres(up)
        return self._plain(across), self._plain(up)

    def _metres(self, value: float) -> str:
        size = abs(value) / 1000.0
        return f"{number_of(size, 'plain', 'mm', decimal=self.decimal, places=1)} m"

    def _plain(self, value: float) -> str:
        places = 0 if self.units == "mm" else 1
        return self.length(abs(value), places)

    def camber(self, value: float) -> str:
        """Return camber; + leans out."""
        return f"camber {self.angle(value)}"

    def toe(self, value: float) -> str:
        """Return a wheel's toe; its sign is in the word."""
        word = "toe-in" if value > -5e-6 else "toe-out"
        return f"{word} {self.angle(abs(value))}"

    def steer(self, value: float) -> str:
        """Return a wheel's heading, + to the left."""
        return f"{self.angle(abs(value))} to the {'left' if value > 0 else 'right'}"
