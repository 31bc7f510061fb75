"""Time of a whole leaf axle study and its parts: `python tests/benchmarks/bench_leaf_axle.py`."""

from __future__ import annotations

import timeit
from collections.abc import Callable
from functools import partial

import numpy as np

from geometry.leaf.axle import leaf_path
from geometry.leaf.centres import side_view
from geometry.leaf.fit import with_rates
from geometry.leaf.hop import HopAxle, held_axle
from geometry.leaf.load import Model, PackStages, leaf_stresses, load_at, pack_stages
from geometry.leaf.loop import LeafLoop
from geometry.leaf.ride import spring_on_car
from geometry.leaf.roll import leaf_roll
from geometry.leaf.steer import roll_centres, roll_steer
from geometry.leaf.wind_up import Thrust, TractionBars, wind_up
from geometry.modes.dampers import Damper, damper_layouts
from geometry.modes.modes import Modes, modes_of
from tests.geometry.leaf.test_leaf_pack import FIVE
from tests.helpers.invented_leaf_axles import SALOON

TRAVEL = np.linspace(-80.0, 80.0, 61)
ROLL = np.radians(np.linspace(-5.0, 5.0, 41))
PUSH = np.linspace(-5000.0, 8000.0, 60)
LOAD, RADIUS, BASE = 3300.0, 305.0, 1100.0
BARS = TractionBars(520.0, 10.0, 300.0)


def car() -> tuple[PackStages, LeafLoop]:
    stages = pack_stages(FIVE)
    return stages, with_rates(SALOON.fit(), stages.halves[0][Model.COMMON_CURVATURE])


def bounce(stages: PackStages, loop: LeafLoop) -> Thrust:
    path = leaf_path(loop, TRAVEL)
    for model in Model:
        spring_on_car(stages, loop, path, LOAD, model)
    side_view(path, RADIUS, 2560.0, 540.0, 0.36)
    roll_centres(loop, path, RADIUS)
    steer = roll_steer(loop, path)
    return Thrust(262.0, float(steer.front_slope[30]), steer.hinge)


def stresses(stages: PackStages) -> None:
    leaf_stresses(stages, LOAD)
    leaf_stresses(stages, 2 * LOAD)
    load_at(stages, np.linspace(0.0, 200.0, 61), Model.COMMON_CURVATURE)


def twist(stages: PackStages, thrust: Thrust) -> None:
    rates = stages.halves[0][Model.COMMON_CURVATURE]
    wind_up(rates, PUSH, thrust, LOAD)
    wind_up(rates, PUSH, thrust, LOAD, BARS)


def hop(stages: PackStages, thrust: Thrust) -> tuple[Modes, ...] | None:
    rates = stages.halves[0][Model.COMMON_CURVATURE]
    axle = HopAxle(110.0, 18e6, 4.5e6, rates, BASE, 1400.0, 200.0, (0.0, -43.0), slope=thrust.slope)
    left = Damper((150.0, 450.0, -60.0), (0.25, -0.2, 1.0), 2.0)
    right = Damper((150.0, -450.0, -60.0), (0.25, 0.2, 1.0), 2.0)
    return modes_of(held_axle(axle), damper_layouts(left, right))


def study() -> None:
    stages, loop = car()
    thrust = bounce(stages, loop)
    leaf_roll(loop, ROLL, BASE, RADIUS)
    stresses(stages)
    twist(stages, thrust)
    hop(stages, thrust)


def report(name: str, work: Callable[[], object], rounds: int = 50) -> None:
    best = min(timeit.repeat(work, number=rounds, repeat=5)) / rounds
    print(f"{name:24s}{1e3 * best:8.2f} ms")


def main() -> None:
    stages, loop = car()
    thrust = bounce(stages, loop)
    report("whole study", study)
    report("pack and loop", car)
    report("bounce, 61 poses", partial(bounce, stages, loop))
    report("roll, 41 poses", partial(leaf_roll, loop, ROLL, BASE, RADIUS))
    report("stresses and load curve", partial(stresses, stages))
    report("wind-up", partial(twist, stages, thrust))
    report("modes, four layouts", partial(hop, stages, thrust))


if __name__ == "__main__":
    main()
