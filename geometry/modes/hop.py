"""What is told of an axle's modes: with the dampers as they are, and in the four layouts."""

from __future__ import annotations

from functools import cached_property
from typing import Final

from geometry.dataclass import dataclass
from geometry.modes.dampers import Damper, damper_layouts
from geometry.modes.modes import (
    HOP,
    MODE_NAMES,
    TRAMP,
    WIND_UP,
    HeldAxle,
    Modes,
    Swings,
    swings_of,
)
from geometry.numeric import quietly

RESULT_NAMES: Final = {"hop": HOP, "tramp": TRAMP, "wind_up": WIND_UP}
"""The modes that are results, by how the results' keys begin."""

HOP_RESULTS: Final = frozenset(
    f"{name}_{what}" for name in RESULT_NAMES for what in ("frequency", "damping")
)
"""The keys of the modes' results."""

EVERY: Final = frozenset(range(len(MODE_NAMES)))
"""All places in `MODE_NAMES`."""


@dataclass(frozen=True)
class Hop:
    """The axle's modes as the dampers are, and in the four layouts.

    Parameters
    ----------
    dampers
        The left and the right one.
    own
        Modes with the dampers as they are.
    swings
        Of the dampers as `LAYOUTS` has them: what `layouts` is read off.
    known
        Modes whose figures are told, places in `MODE_NAMES`: those that hang on rates that nobody
        gave aren't.
    on_links
        Whether links hold the axle: what their bushes damp isn't in it.
    closed, other
        With traction bars the modes are those at small motion where the car stands: whether the
        snubbers touch there, and the modes in the other state. Both None without bars.
    """

    dampers: tuple[Damper, ...]
    own: Modes
    swings: tuple[Swings, ...]
    known: frozenset[int] = EVERY
    on_links: bool = False
    closed: bool | None = None
    other: Modes | None = None

    @cached_property
    def layouts(self) -> tuple[Modes, ...]:
        """Modes with the dampers as `LAYOUTS` has them; a drag shows none of them."""
        return _named(self.swings)


@quietly
def _named(swings: tuple[Swings, ...]) -> tuple[Modes, ...]:
    return tuple([each.modes for each in swings])


def all_layouts(axle: HeldAxle, dampers: tuple[Damper, ...]) -> tuple[Swings, ...] | None:
    """Solve the axle with the dampers as they are, then in each of the four layouts.

    None where there are none in numbers.

    Parameters
    ----------
    axle
        The axle.
    dampers
        The left and the right one.
    """
    return swings_of(axle, (dampers, *damper_layouts(*dampers[:2])))


@quietly
def hop_results(hop: Hop) -> dict[str, float]:
    """Return frequency [Hz] and damping ratio of hop, tramp and wind-up by the results' keys."""
    results = {}
    for name, mode in RESULT_NAMES.items():
        if mode in hop.known:
            results[f"{name}_frequency"] = float(hop.own.named.frequency[mode])
            results[f"{name}_damping"] = float(hop.own.named.damping[mode])
    return results
