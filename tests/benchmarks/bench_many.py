"""Many cars at once, side by side in one process: `python -m tests.benchmarks.bench_many`.

The yardstick R is the loop of bench_front: 61 poses of one corner by a warm-started
`scipy.optimize.root` with an analytic Jacobian. Each line gives what many cars take as a multiple
of R, and how often quicker it is than one study after another. Nothing here is asserted.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Sequence

import numpy as np

from app.document.model import Setup
from app.systems.front.many import read_fronts, values_of_many
from app.systems.front.study import sweep_at as front_sweep
from app.systems.front.system import FRONT
from app.systems.rear.many import values_of_many as rear_values
from app.systems.rear.system import REAR
from geometry.catalogue.front import RESULTS
from geometry.catalogue.rear import LEAF_RESULTS, LINK_RESULTS
from geometry.front.many import pose_many
from tests.benchmarks.bench_front import LOWERED, travel_solve
from tests.helpers import rear_setups
from tests.helpers.front_setups import front_setup
from tests.helpers.perturbed import measured_again

TRAVEL = np.linspace(-80.0, 80.0, 31)
REAR_TRAVEL = np.linspace(-60.0, 60.0, 31)
LEAN = np.radians(np.linspace(-5.0, 5.0, 31))
STEER = np.linspace(-60.0, 60.0, 31)
ZERO = np.zeros(31)
FEW = ("camber", "toe", "roll_centre_height")
OF_POSES = {result.key for result in RESULTS if result.scope != "car"}
OF_REAR = {result.key for result in (*LEAF_RESULTS, *LINK_RESULTS) if result.scope != "car"}


def best(work: Callable[[], object], rounds: int = 5) -> float:
    """Least time of the processor's over some rounds [ms]."""
    times = []
    for _ in range(rounds):
        start = time.process_time()
        work()
        times.append(1000.0 * (time.process_time() - start))
    return min(times)


def report(name: str, took: float, loop: float, alone: float | None = None) -> None:
    quicker = "" if alone is None else f"   one by one {alone / loop:7.1f} R, {alone / took:5.1f}x"
    print(f"{name:60} {took:8.1f} ms {took / loop:6.2f} R{quicker}")


def one_by_one(work: Callable[[Setup], object], setups: Sequence[Setup]) -> float:
    """Time of all setups, each by itself, from what some of them take [ms]."""
    some = setups[1:31]
    return best(lambda: [work(setup) for setup in some], 1) * len(setups) / len(some)


def fronts(loop: float, count: int) -> None:
    sided = front_setup(right={"lower_ball": (5.0, -683.0, 206.0)})
    for name, setup, target in (
        ("alike sides", front_setup(), "target <= 8 R"),
        ("unlike sides", sided, ""),
        ("proposed", front_setup(changes=(LOWERED,)), ""),
    ):
        setups = measured_again(setup, count)
        alone = one_by_one(
            lambda one: front_sweep(FRONT.study(one).proposed.front, "travel", TRAVEL), setups
        )
        cars, _ = read_fronts(setups)
        kernel = best(lambda: pose_many(cars, TRAVEL, ZERO, ZERO))  # noqa: B023
        report(f"{count} fronts x 31 travels, {name}, kernel {target}", kernel, loop)
        for what, keys in (("every result", OF_POSES), ("three", FEW)):
            took = best(lambda: values_of_many(setups, keys, travel=TRAVEL))  # noqa: B023
            report(f"   with reading and building, {what}", took, loop, alone)
        took = best(lambda: values_of_many(setups, ("settled_travel",)), 2)  # noqa: B023
        report("   settled height", took, loop)
    few = cars.sound.size // 8
    some, _ = read_fronts(setups[:few])
    report(f"{few} fronts x 31 rolls", best(lambda: pose_many(some, ZERO, LEAN, ZERO), 2), loop)
    report(f"{few} fronts x 31 steers", best(lambda: pose_many(some, ZERO, ZERO, STEER), 2), loop)


def rears(loop: float, count: int) -> None:
    for name, setup in (
        ("leaf springs", rear_setups.leaf_car()),
        ("leaf springs, lowered", rear_setups.leaf_car(rear_setups.BLOCK)),
        ("links", rear_setups.link_car()),
    ):
        setups = measured_again(setup, count)
        alone = one_by_one(
            lambda one: REAR.study(one).proposed.sweep_at("travel", REAR_TRAVEL), setups
        )
        for what, poses in (("travels", {"travel": REAR_TRAVEL}), ("rolls", {"roll": LEAN})):
            took = best(lambda: rear_values(setups, OF_REAR, **poses), 2)  # noqa: B023
            report(f"{count} rears x 31 {what}, {name}", took, loop, alone)


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    loop = root_loop()
    fronts(loop, count)
    rears(loop, max(count // 8, 31))


def root_loop() -> float:
    """Return R [ms] by the processor's clock."""
    return 61.0 * travel_solve(100).processor


if __name__ == "__main__":
    main()
