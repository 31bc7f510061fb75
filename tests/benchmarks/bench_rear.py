"""How long the rear's study takes: `python -m tests.benchmarks.bench_rear`.

A full study has 61 poses of bounce, 41 of roll, the pack, the wind-up curve and the modes in four
layouts of the dampers. The measured car is solved once and kept, so a drag costs one proposal.
"""

from __future__ import annotations

import timeit
from collections.abc import Callable
from dataclasses import replace

from app.document.files import read_setup
from app.document.model import Setup
from app.document.samples import sample_paths
from app.systems.rear.system import REAR, kept_rear
from app.words.limit_kinds import LIMIT_KINDS

CASES = (
    ("small_saloon", "Right damper behind the axle"),
    ("small_saloon", "Traction bars"),
    ("inch_sedan", "Blocks 1 1/4 in, longer U-bolts"),
    ("hillclimb_special", "Lateral link level"),
    ("torsion_coupe", "Rear axle on links"),
)


def setup_with(name: str, change: str) -> Setup:
    (path,) = [path for path in sample_paths() if path.stem == name]
    setup = read_setup(path, limit_kinds=LIMIT_KINDS).setup
    changes = tuple(replace(each, on=each.name == change) for each in setup.changes)
    return replace(setup, changes=changes)


def both(setup: Setup) -> None:
    kept_rear.cache_clear()
    REAR.study(setup)


def best(work: Callable[[], object], rounds: int = 20) -> float:
    return 1e3 * min(timeit.repeat(work, number=rounds, repeat=5)) / rounds


def main() -> None:
    for name, change in CASES:
        setup = setup_with(name, change)
        REAR.study(setup)
        one, two = best(lambda s=setup: REAR.study(s)), best(lambda s=setup: both(s))  # type: ignore[misc]
        print(
            f"{name:18s} {change:32s} proposal {one:6.2f} ms, with the measured car {two:6.2f} ms"
        )


if __name__ == "__main__":
    main()
