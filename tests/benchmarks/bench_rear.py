"""How long the rear's study takes: `python -m tests.benchmarks.bench_rear`.

A full study has 61 poses of bounce, 41 of roll, the pack, the wind-up curve and the modes in four
layouts of the dampers. The measured car is solved once and kept, so a drag costs one proposal.
"""

from __future__ import annotations

from dataclasses import replace

from app.document.files import read_setup
from app.document.model import Setup
from app.document.samples import sample_paths
from app.systems.every import LIMIT_KINDS
from app.systems.rear.system import REAR, kept_rear
from tests.benchmarks.yardstick import in_turns, root_loop

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
    return setup.having(changes=changes)


def both(setup: Setup) -> None:
    kept_rear.cache_clear()
    REAR.study(setup)


def main() -> None:
    loop = root_loop()
    print("proposal in full, and short as in a drag; with the measured car; R is the root loop")
    for name, change in CASES:
        setup = setup_with(name, change)
        REAR.study(setup)
        works = [
            loop,
            lambda s=setup: REAR.study(s),  # type: ignore[misc]
            lambda s=setup: REAR.study(s, short=True),  # type: ignore[misc]
            lambda s=setup: both(s),  # type: ignore[misc]
        ]
        slow, *found = in_turns(works, 20)
        words = "  ".join(f"{each.wall:6.2f} ms {each.over(slow).wall:4.2f} R" for each in found)
        work = "  ".join(f"{each.over(slow).processor:4.2f}" for each in found)
        print(f"{name:18s} {change:32s} {words}  (by the processor's clock {work})")
    print("target: proposal in full <= 0.50 R")


if __name__ == "__main__":
    main()
