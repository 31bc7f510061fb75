"""What a specialist wants of a car, what may move for it, how it is adjusted and was gauged."""

from __future__ import annotations

from collections.abc import Collection

from geometry.dataclass import dataclass

Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Want:
    """A result that shall be a value, at least or at most one, or stay as found; inside units.

    `within` is how near counts as met, None for the usual of its kind; `weight` counts where not
    all wants can be met.
    """

    result: str  # "front.camber_gain"
    value: float | None = None
    at_least: float | None = None
    at_most: float | None = None
    keep: bool = False
    within: float | None = None
    weight: float = 1.0
    kind: str = "plain"


@dataclass(frozen=True, slots=True)
class Room:
    """What the metal lets a point or a value do; inside units.

    Of a point `x`, `y` and `z` are how far it may be from its measured place; one that is alike
    another moves by the same amount. Of a value `span` is from and to, `steps` are those that
    exist, and `by_adjuster` says that the adjuster of that name gives them.
    """

    x: Span | None = None
    y: Span | None = None
    z: Span | None = None
    alike: str = ""
    span: Span | None = None
    steps: tuple[float, ...] = ()
    by_adjuster: bool = False


@dataclass(frozen=True, slots=True)
class Adjuster:
    """Something on the car that is turned or shimmed to align it; lengths in mm.

    Shims stand `at` one pivot or two, `fitted` on each; `sizes` exist, `have` pieces of each, a
    pack is `most` thick, two packs at most `apart`. An eccentric or a rod has a `reach`, from and
    to; a rod's `pitch` is its length a turn.
    """

    at: tuple[str, ...] = ()
    inboard: bool = False
    fitted: tuple[float, ...] = ()
    fitted_right: tuple[float, ...] = ()
    sizes: tuple[float, ...] = ()
    have: tuple[float, ...] = ()
    most: float | None = None
    apart: float | None = None
    reach: Span | None = None
    pitch: float | None = None

    def packs(self, right: bool) -> tuple[float, ...]:
        """Return how thick the packs of a wheel are [mm], bolt by bolt."""
        return self.fitted_right if right and self.fitted_right else self.fitted

    @property
    def both(self) -> tuple[float, ...]:
        """How thick the packs of both wheels are [mm], the left one's first."""
        return (*self.packs(False), *self.packs(True))


@dataclass(frozen=True, slots=True)
class Aim:
    """What an alignment figure shall be, and how near counts as met; inside units."""

    value: float
    within: float
    kind: str = "angle"


@dataclass(frozen=True, slots=True)
class Gauge:
    """One wheel as a gauge read it [rad]; toe as a length is in mm.

    Caster was read itself, or as camber at two locks: `locks` are those of the wheel, + outwards.
    `after` says what an alignment had done on the wheel by then: mm by bolt or adjuster.
    """

    camber: float | None = None
    caster: float | None = None
    toe: float | None = None
    toe_length: float | None = None
    locks: Span | None = None
    locks_camber: Span | None = None
    after: tuple[tuple[str, float], ...] = ()  # ("upper_front", 2.5)

    @property
    def is_read(self) -> bool:
        """Tell whether anything was read at all."""
        return self != Gauge(after=self.after)


@dataclass(frozen=True, slots=True)
class Together:
    """Changes that make one proposal, by their names, to stand beside others."""

    name: str
    changes: tuple[str, ...]

    def only(self, names: Collection[str]) -> Together | None:
        """Return the proposal of those of its changes that there are; None without any."""
        there = tuple(name for name in self.changes if name in names)
        return Together(self.name, there) if there else None
