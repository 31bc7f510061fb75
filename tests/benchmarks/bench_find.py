"""A search for a change, three points and four wants: `python -m tests.benchmarks.bench_find`.

It runs in this process, as `wishboard find` does. The yardstick R is the loop of bench_front: it
says how quick the machine is at the moment. With `profile` it tells where the time goes. Nothing
here is asserted.
"""

from __future__ import annotations

import sys
from cProfile import Profile
from pstats import Stats

from app.document.model import Setup
from app.document.plans import Room, Want
from app.judge.find import find
from tests.benchmarks.yardstick import root_loop, spent
from tests.helpers.sought import BUMP_STEER, CAMBER_GAIN, UPPER_FRONT, UPPER_REAR, saloon

ROUNDS = 7
ROOMS = {
    UPPER_FRONT: Room(z=(-30.0, 10.0)),
    UPPER_REAR: Room(z=(-30.0, 10.0)),
    "front.tie_outer": Room(y=(-8.0, 8.0), z=(-12.0, 12.0)),
}
WANTS = (
    CAMBER_GAIN,
    BUMP_STEER,
    Want("front.roll_centre_height", at_least=20.0, within=0.5, kind="length"),
    Want("front.caster", keep=True),
)


def searched(setup: Setup) -> None:
    search = find(setup)
    assert search is not None
    met = "met" if search.answer.is_met else "not met"
    print(f"{search.batches} batches, {met}, {len(search.others)} others beside it")


def main() -> None:
    setup = saloon(wants=WANTS, rooms=ROOMS)
    searched(setup)
    if "profile" in sys.argv:
        with Profile() as profile:
            find(setup)
        Stats(profile).sort_stats("cumulative").print_stats(60)
        return
    loop = root_loop()
    pairs = [(spent(lambda: find(setup)), spent(loop)) for _ in range(ROUNDS)]
    took, yard = (min(times.processor for times in column) for column in zip(*pairs, strict=True))
    print(f"{took:.0f} ms of the processor, target <= 1000; {took / yard:.0f} R")


if __name__ == "__main__":
    main()
