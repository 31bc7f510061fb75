"""How a study is drawn: which poses, the state of its points, and how they are shown."""

from __future__ import annotations

from typing import Final, Generic, TypeVar

from app.systems.answers import Answered, Car, Study
from geometry.dataclass import dataclass

Posed = TypeVar("Posed", bound=Answered, covariant=True)


@dataclass(frozen=True)
class Overlay:
    """A motion added to the pose of an axle: wind-up under thrust, or one of its modes.

    `thrust` is a share of full drive, negative of full braking, 0 for none; `exaggeration` the
    factor on the wind-up's part of the shape. `mode` is an index of
    `geometry.modes.modes.MODE_NAMES` that swings, None for none, at `phase` [rad], with the dampers
    in `layout`, an index of `geometry.modes.dampers.LAYOUTS`, None for as they are.
    """

    thrust: float = 0.0
    exaggeration: float = 3.0
    mode: int | None = None
    phase: float = 0.0
    layout: int | None = None

    @property
    def is_on(self) -> bool:
        """Tell whether a motion is added to the pose."""
        return self.thrust != 0.0 or self.mode is not None


NOTHING: Final = Overlay()


@dataclass(frozen=True)
class Shown(Generic[Car, Posed]):
    """Which poses of a study are drawn, and the state of its points on the screen.

    `proposed` and `measured` are sweeps of one pose; `measured` is the ghost, None for none.
    """

    study: Study[Car]
    proposed: Posed
    measured: Posed | None = None
    locked: frozenset[str] = frozenset()
    wrong: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Options:
    """What is drawn, and with which decimal sign.

    `compare` lays a measured axle of another kind under the proposed one. `result` is the key of a
    result whose meaning is shown on the drawing. `side` is the wheel whose figures stand there,
    left 0 or right 1. With `results_held` marks of results have handles too.
    """

    construction: bool = True
    dimensions: bool = True
    far_side: bool = True
    handles: bool = True
    compare: bool = True
    overlay: Overlay = NOTHING
    decimal: str = "."
    result: str = ""
    side: int = 0
    results_held: bool = False
