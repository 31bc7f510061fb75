"""Speed of the front, side by side in one process: `python -m tests.benchmarks.bench_front`.

The yardstick is the loop of `yardstick.py`. Nothing here is asserted: a busy machine is no fault of
the code. Each line gives the median by the wall's clock and, for a machine that does other things
too, by the processor's.
"""

from __future__ import annotations

import sys
from dataclasses import fields

import numpy as np

from app.document.model import Change, FrozenMap
from app.systems.front.inputs import measured_car
from app.systems.front.system import FRONT, kept_front
from geometry.front.parts import Corner, CornerPoints, bolt_up, measure_parts
from geometry.front.reach import follow, survey
from tests.benchmarks.yardstick import TRAVEL, Times, in_turns, root_loop, timed
from tests.helpers.front_rods import LOWER
from tests.helpers.front_setups import PLAIN, front_setup, invented_points

LOW, HIGH = TRAVEL[:1], TRAVEL[-1:]
LOWERED = Change(
    "Upper pivots 22 mm lower",
    moves=FrozenMap({f"front.upper_{end}": (0.0, 0.0, -22.0) for end in ("front", "rear")}),
)


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

    def proposal() -> None:
        FRONT.study(setup, ranges)

    def short() -> None:
        FRONT.study(setup, ranges, short=True)

    loop, *found = in_turns([root_loop(), both, proposal, short], max(2, rounds // 10))
    report("R, the 61-pose loop of scipy.optimize.root", loop)
    for name, times, target in zip(
        ("full study, measured and proposed", "full study, proposed alone", "short, in a drag"),
        found,
        ("", "target <= 0.30 R", ""),
        strict=True,
    ):
        report(name, times, f"{times.over(loop).wall:.2f} R  {target}")


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
    loop = root_loop()
    apart = np.abs(np.stack(solve().lower_ball, axis=-1)[0] - np.array(loop())[:, LOWER]).max()  # type: ignore[attr-defined]
    slow = timed(loop, max(5, rounds // 15))
    report("61-pose travel solve, one corner, survey included", alone, "target <= 0.5")
    report("the same by scipy.optimize.root, warm, analytic Jacobian", slow)
    compare("ratio", slow.over(alone), "target >= 30")
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
