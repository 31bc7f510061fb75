"""Frequency and damping of hop, tramp and wind-up by where the dampers are, as rows. No Qt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.cars import named_cars
from geometry.leaf.hop import LAYOUTS, Modes

MODES: Final = (1, 2, 3)  # hop, tramp, wind-up


@dataclass(frozen=True)
class HopRow:
    """Where the dampers are; frequencies [Hz] and damping ratios of hop, tramp and wind-up."""

    name: str
    is_proposed: bool
    frequencies: tuple[float, ...]
    dampings: tuple[float, ...]


def hop_rows(study: Study[RearAnswers]) -> tuple[HopRow, ...]:
    """Return the dampers as they are on each car, and the last car's in the four layouts."""
    fitted = [(name, car) for name, car in named_cars(study) if car.hop is not None]
    if not fitted:
        return ()
    rows = [
        _row(f"Dampers {name}", study.changed and car is study.proposed, car.hop.own)
        for name, car in fitted
        if car.hop is not None
    ]
    last = fitted[-1][1].hop
    layouts = () if last is None else last.layouts
    rows += [_row(f"If {name}", False, m) for name, m in zip(LAYOUTS, layouts, strict=True)]
    return tuple(rows)


def _row(name: str, proposed: bool, modes: Modes) -> HopRow:
    return HopRow(
        name,
        proposed,
        tuple(float(modes.frequency[mode]) for mode in MODES),
        tuple(float(modes.damping[mode]) for mode in MODES),
    )
