"""Speed of the front, side by side in one process: `python -m tests.benchmarks.bench_front`.

The yardstick is a warm-started `scipy.optimize.root` loop with an analytic Jacobian over the same
poses at the same accuracy. Nothing here is asserted: a busy machine is no fault of the code. Each
line gives the median by the wall's clock and, for a machine that does other things too, by the
processor's.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import fields
from typing import NamedTuple

import numpy as np

from app.document.model import Change, FrozenMap
from app.systems.front.inputs import measured_car
from app.systems.front.system import FRONT, kept_front
from geometry.front.parts import Corner, CornerPoints, bolt_up, measure_parts
from geometry.front.reach import follow, survey
from tests.helpers.front_rods import LOWER, RodCorner
from tests.helpers.front_setups import PLAIN, front_setup, invented_points

TRAVEL = np.linspace(-80.0, 80.0, 61)
LOW, HIGH = TRAVEL[:1], TRAVEL[-1:]
LOWERED = Change(
    "Upper pivots 22 mm lower",
    moves=FrozenMap({f"front.upper_{end}": (0.0, 0.0, -22.0) for end in ("front", "rear")}),
)


class Times(NamedTuple):
    """Medians over many rounds [ms]: by the wall's clock and by the processor's."""

    wall: float
    processor: float


def timed(work: Callable[[], object], rounds: int) -> Times:
    for _ in range(max(2, rounds // 20)):
        work()
    wall, processor = [], []
    for _ in range(rounds):
        start, begun = time.perf_counter(), time.process_time()
        work()
        processor.append(1000.0 * (time.process_time() - begun))
        wall.append(1000.0 * (time.perf_counter() - start))
    return Times(statistics.median(wall), statistics.median(processor))


def report(name: str, times: Times, target: str = "") -> None:
    print(f"{name:58} {times.wall:9.3f} ms (processor {times.processor:9.3f})  {target}")


def compare(name: str, values: Times, target: str) -> None:
    print(f"{name:58} {values.wall:12,.0f} (processor {values.processor:10,.0f})  {target}")


def studies(rounds: int) -> None:
    setup = front_setup(changes=(LOWERED,))
    ranges = FRONT.ranges(setup)
    FRONT.study(setup, ranges)

    def both() -> None:
        kept_front.cache_clear()
        FRONT.study(setup, ranges)

    report("full study, measured and proposed", timed(both, rounds), "target <= 6")
    report(
        "full study, proposed alone",
        timed(lambda: FRONT.study(setup, ranges), rounds),
        "target <= 4",
    )
    short = timed(lambda: FRONT.study(setup, ranges, short=True), rounds)
    report("study without roll and steer (while dragging)", short)


def left_corner(seed: int | None = None) -> tuple[CornerPoints, Corner]:
    """One corner alone, arrays of shape (1, 1)."""
    setup = front_setup(PLAIN if seed is None else invented_points(seed, 15.0))
    points = one_row(measured_car(setup).design)
    return points, bolt_up(measure_parts(points), points)


def one_row(points: CornerPoints) -> CornerPoints:
    def first(value: object) -> object:
        return tuple(part[:1] for part in value) if isinstance(value, tuple) else value[:1]  # type: ignore[index]

    return CornerPoints(**{each.name: first(getattr(points, each.name)) for each in fields(points)})


def travel_solve(rounds: int) -> Times:
    """Sixty-one poses of one corner; return the root finder's times for each [ms]."""
    _, corner = left_corner()

    def solve() -> object:
        return follow(corner, survey(corner, corner.tie_inner, LOW, HIGH), TRAVEL)

    alone = timed(solve, rounds)
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

    apart = np.abs(np.stack(solve().lower_ball, axis=-1)[0] - np.array(loop())[:, LOWER]).max()  # type: ignore[attr-defined]
    slow = timed(loop, max(5, rounds // 15))
    report("61-pose travel solve, one corner, survey included", alone, "target <= 0.5")
    report("the same by scipy.optimize.root, warm, analytic Jacobian", slow)
    ratio = Times(slow.wall / alone.wall, slow.processor / alone.processor)
    compare("ratio", ratio, "target >= 30")
    print(f"largest difference of a ball joint: {apart:.1e} mm")
    return Times(slow.wall / TRAVEL.size, slow.processor / TRAVEL.size)


def bulk(slow: Times, geometries: int = 4096, chunk: int = 128) -> None:
    """Many corners over the same travels, in chunks whose arrays stay in the cache."""
    cars = [left_corner(seed)[0] for seed in range(64)]

    def stacked(name: str) -> object:
        parts = [getattr(car, name) for car in cars]
        if isinstance(parts[0], tuple):
            return tuple(np.concatenate([part[axis] for part in parts]) for axis in range(3))
        return np.concatenate(parts)

    points = CornerPoints(**{each.name: stacked(each.name) for each in fields(CornerPoints)})
    assert chunk % 64 == 0 or 64 % chunk == 0

    def rows(value: object, part: slice) -> object:
        if isinstance(value, tuple):
            return tuple(rows(one, part) for one in value)
        wide = np.tile(value, (max(1, chunk // 64), 1))  # type: ignore[arg-type]
        return wide[part]

    chunks = [
        CornerPoints(
            **{
                each.name: rows(getattr(points, each.name), slice(at, at + chunk))
                for each in fields(CornerPoints)
            }
        )
        for at in range(0, max(64, chunk), chunk)
    ]
    low, high = np.full((chunk, 1), LOW[0]), np.full((chunk, 1), HIGH[0])

    def solve() -> None:
        for index in range(geometries // chunk):
            body = chunks[index % len(chunks)]
            corner = bolt_up(measure_parts(body), body)
            follow(corner, survey(corner, corner.tie_inner, low, high), TRAVEL)

    took, poses = timed(solve, 9), geometries * TRAVEL.size
    report(f"bulk: {geometries} corners x 61, parts and survey included", took)
    speed = Times(1000.0 * poses / took.wall, 1000.0 * poses / took.processor)
    compare("geometries x poses a second and core", speed, "target >= 700 000")
    ratio = Times(slow.wall / (took.wall / poses), slow.processor / (took.processor / poses))
    compare("ratio to the root finder, per pose", ratio, "target >= 300")


def main() -> None:
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    studies(rounds)
    bulk(travel_solve(rounds))


if __name__ == "__main__":
    main()
