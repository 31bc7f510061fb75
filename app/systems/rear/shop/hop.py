"""Frequency and damping of hop, tramp and wind-up by where the dampers are, as rows. No Qt."""

from __future__ import annotations

from typing import Final

from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.cars import named_cars
from app.systems.rear.words.hop import BAR_STATES, is_low, mode_name
from geometry.dataclass import dataclass
from geometry.modes.dampers import LAYOUTS
from geometry.modes.hop import Hop
from geometry.modes.modes import Modes

MODES: Final = (1, 2, 3)  # hop, tramp, wind-up


@dataclass(frozen=True)
class HopFigures:
    """One motion's frequency [Hz] and damping ratio; whether it is low, and what it is mixed with.

    `mixed` is "tramp with wind-up", "" where it stands alone.
    """

    frequency: float
    damping: float
    is_low: bool
    mixed: str


@dataclass(frozen=True)
class HopRow:
    """Where the dampers are; figures of hop, tramp and wind-up, None for what isn't known.

    `is_layout` tells a layout that is compared from dampers as they are.
    """

    name: str
    is_layout: bool
    is_proposed: bool
    figures: tuple[HopFigures | None, ...]


def hop_rows(study: Study[RearAnswers]) -> tuple[HopRow, ...]:
    """Return the dampers as they are on each car, and the last car's in the four layouts."""
    hops = named_hops(study)
    if not hops:
        return ()
    rows = [
        HopRow(
            f"{name}{state}",
            False,
            study.changed and hop is study.proposed.hop,
            hop_figures(hop, modes),
        )
        for name, hop in hops
        for state, modes in bar_states(hop)
    ]
    last = hops[-1][1]
    rows += [
        HopRow(name, True, False, hop_figures(last, modes))
        for name, modes in zip(LAYOUTS, last.layouts, strict=True)
    ]
    return tuple(rows)


def named_hops(study: Study[RearAnswers]) -> list[tuple[str, Hop]]:
    """Return the modes of each car that has them, under the car's name."""
    return [(name, car.hop) for name, car in named_cars(study) if car.hop is not None]


def hop_figures(hop: Hop, modes: Modes) -> tuple[HopFigures | None, ...]:
    """Return the figures of `MODES` with the dampers in one place, None for what isn't known."""
    return tuple(_figures(hop, modes, mode) if mode in hop.known else None for mode in MODES)


def _figures(hop: Hop, modes: Modes, mode: int) -> HopFigures:
    return HopFigures(
        float(modes.named.frequency[mode]),
        float(modes.named.damping[mode]),
        is_low(hop, modes, mode),
        mode_name(modes, mode) if modes.named.partner[mode] >= 0 else "",
    )


def bar_states(hop: Hop) -> tuple[tuple[str, Modes], ...]:
    """Return the modes as the dampers are, with traction bars in both states, the leading first."""
    if hop.closed is None or hop.other is None:
        return (("", hop.own),)
    states = BAR_STATES[hop.closed], BAR_STATES[not hop.closed]
    return tuple(
        (f", {state}", modes) for state, modes in zip(states, (hop.own, hop.other), strict=True)
    )
