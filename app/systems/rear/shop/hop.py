"""Frequency and damping of hop, tramp and wind-up by where the dampers are, as rows. No Qt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.cars import named_cars
from app.systems.rear.words.hop import BAR_STATES, mode_name
from geometry.leaf.hop import LAYOUTS, Modes
from geometry.leaf.single import Hop

MODES: Final = (1, 2, 3)  # hop, tramp, wind-up


@dataclass(frozen=True)
class HopRow:
    """Where the dampers are; frequencies [Hz] and damping ratios of hop, tramp and wind-up.

    `mixed` says what each is mixed with: "tramp with wind-up", "" where it stands alone.
    """

    name: str
    is_proposed: bool
    frequencies: tuple[float, ...]
    dampings: tuple[float, ...]
    mixed: tuple[str, ...] = ("", "", "")


def hop_rows(study: Study[RearAnswers]) -> tuple[HopRow, ...]:
    """Return the dampers as they are on each car, and the last car's in the four layouts."""
    fitted = [(name, car) for name, car in named_cars(study) if car.hop is not None]
    if not fitted:
        return ()
    rows = [
        _row(f"Dampers {name}{state}", study.changed and car is study.proposed, modes)
        for name, car in fitted
        if car.hop is not None
        for state, modes in bar_states(car.hop)
    ]
    last = fitted[-1][1].hop
    layouts = () if last is None else last.layouts
    rows += [_row(f"If {name}", False, m) for name, m in zip(LAYOUTS, layouts, strict=True)]
    return tuple(rows)


def bar_states(hop: Hop) -> tuple[tuple[str, Modes], ...]:
    """Return the modes as the dampers are, with traction bars in both states, the leading first."""
    if hop.closed is None or hop.other is None:
        return (("", hop.own),)
    states = BAR_STATES[hop.closed], BAR_STATES[not hop.closed]
    return tuple(
        (f", {state}", modes) for state, modes in zip(states, (hop.own, hop.other), strict=True)
    )


def _row(name: str, proposed: bool, modes: Modes) -> HopRow:
    return HopRow(
        name,
        proposed,
        tuple(float(modes.named.frequency[mode]) for mode in MODES),
        tuple(float(modes.named.damping[mode]) for mode in MODES),
        tuple(mode_name(modes, mode) if modes.named.partner[mode] >= 0 else "" for mode in MODES),
    )
