"""The yardstick: a warm-started `scipy.optimize.root` loop over 61 poses of one corner.

It has an analytic Jacobian and the kernel's accuracy. How long it takes says how fast the machine
is at the moment, so what else is timed in the same process is told as a ratio to it, R.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from tests.helpers.front_rods import RodCorner
from tests.helpers.front_setups import PLAIN

TRAVEL = np.linspace(-80.0, 80.0, 61)


class Times(NamedTuple):
    """Medians over many rounds [ms]: by the wall's clock and by the processor's."""

    wall: float
    processor: float

    def over(self, other: Times) -> Times:
        """Return the ratios to other times."""
        return Times(self.wall / other.wall, self.processor / other.processor)


def spent(work: Callable[[], object]) -> Times:
    """Return what one round of some work takes."""
    start, begun = time.perf_counter(), time.process_time()
    work()
    processor = 1000.0 * (time.process_time() - begun)
    return Times(1000.0 * (time.perf_counter() - start), processor)


def median(times: list[Times]) -> Times:
    """Return the medians of both clocks."""
    return Times(*(statistics.median(column) for column in zip(*times, strict=True)))


def timed(work: Callable[[], object], rounds: int) -> Times:
    """Return what some work takes, warm."""
    for _ in range(max(2, rounds // 20)):
        work()
    return median([spent(work) for _ in range(rounds)])


def in_turns(works: list[Callable[[], object]], turns: int, rounds: int = 5) -> list[Times]:
    """Return what works take; they take turns, so that a machine that slows down slows all."""
    times: list[list[Times]] = [[] for _ in works]
    for _ in range(turns):
        for work, found in zip(works, times, strict=True):
            work()  # warms the processor's caches
            found += [spent(work) for _ in range(rounds)]
    return [median(found) for found in times]


def root_loop() -> Callable[[], list[np.ndarray]]:
    """Return the loop; it gives the unknowns of each pose."""
    rods = RodCorner.of({name: PLAIN[name] for name in PLAIN if "spring" not in name})
    design = rods.at_design(rods.points)

    def loop() -> list[np.ndarray]:
        middle = TRAVEL.size // 2
        found = {middle: design}
        for way in (range(middle + 1, TRAVEL.size), range(middle - 1, -1, -1)):
            unknown = design
            for index in way:
                unknown = found[index] = rods.solve(unknown, float(TRAVEL[index]), 0.0)
        return [found[index] for index in range(TRAVEL.size)]

    return loop
