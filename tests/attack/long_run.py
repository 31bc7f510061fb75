"""The parts of the long run: each does its count and returns figures beside those to reach."""

from __future__ import annotations

import os
import tempfile
import warnings
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from multiprocessing import get_context
from pathlib import Path
from typing import Final, TypeVar

from PySide6.QtCore import QCoreApplication

from tests.attack.drags import wild_run
from tests.attack.drawn import drawn_run
from tests.attack.files import Count, counted, damaged_files
from tests.attack.kills import Kills, kill_one
from tests.attack.mouse import MouseTally, wild_mouse
from tests.attack.nasty_files import NASTY
from tests.attack.opening import opened
from tests.attack.processes import Runs
from tests.attack.wild import Tally

Failures = list[tuple[str, str]]
Made = TypeVar("Made")

A_RUN: Final = 250  # files, or moves of a drag, that one process is given at a time
MOST_LOST: Final = 2.0  # s of work
MOST_GROWTH: Final = 12.0  # MB, from a third of the way: histories, and what is kept of cars shown
LEAST_WITH_KEY: Final = 0.95


@dataclass(frozen=True)
class Figure:
    """A figure as measured, what is to be reached, and whether it is."""

    name: str
    measured: str
    to_reach: str
    is_reached: bool


@dataclass(frozen=True)
class Result:
    """What a part of the long run comes to."""

    figures: list[Figure]
    failures: Failures


@dataclass(frozen=True)
class Asked:
    """How much of a part is asked for."""

    seed: int
    count: int
    jobs: int


def files(asked: Asked) -> Result:
    """Put damaged files through all that the command line does, in this program's processes."""
    total, failures = Count(), Failures()
    starts = range(0, asked.count, A_RUN)
    runs = [range(start, min(start + A_RUN, asked.count)) for start in starts]
    for count in _in_processes(partial(_files_of, asked.seed), runs, asked.jobs, failures):
        total.add(count)
    failures += total.failures
    share = total.with_key / max(total.refusals, 1)
    lines = total.with_line / max(total.refusals, 1)
    kinds = ", ".join(f"{number} {kind}" for kind, number in sorted(total.kinds.items()))
    return Result(
        [
            _none("damaged files with a fault of the program", failures, kinds),
            Figure("refusals that name a line", f"{lines:.1%}", "100.0%", lines == 1.0),
            Figure(
                "refusals that name line and key",
                f"{share:.1%} of {total.refusals}",
                f"{LEAST_WITH_KEY:.0%}",
                share >= LEAST_WITH_KEY,
            ),
        ],
        failures,
    )


def _files_of(seed: int, numbers: range) -> Count:
    with tempfile.TemporaryDirectory() as folder:
        return counted(damaged_files(Path(folder), seed, numbers))


def processes(asked: Asked) -> Result:
    """Run the command line on damaged files, a process each."""
    runs = Runs()
    with ThreadPoolExecutor(asked.jobs) as pool:
        list(pool.map(partial(runs.add, seed=asked.seed), range(asked.count)))
    statuses = ", ".join(f"{many} ended with {each}" for each, many in runs.statuses.items())
    return Result([_none("processes that end badly", runs.failures, statuses)], runs.failures)


def nasty(_asked: Asked) -> Result:
    """Open every nasty file in a window."""
    with tempfile.TemporaryDirectory() as folder:
        paths = [Path(folder) / f"{each.name}.toml" for each in NASTY]
        for path, each in zip(paths, NASTY, strict=True):
            path.write_bytes(each.data)
        became = list(opened(paths))
    failures = [(each.name, failure) for each in became for failure in each.failures]
    failures += [(each.name, "the process died") for each in became if each.outcome == "died"]
    shown = sum(each.outcome == "shown" for each in became)
    told = f"{shown} shown, {len(became) - shown} refused"
    return Result([_none("nasty files that a window can't bear", failures, told)], failures)


def drags(asked: Asked) -> Result:
    """Drag wildly through sessions."""
    total, failures = Tally(), Failures()
    numbers = range(-(-asked.count // A_RUN))
    run = partial(_drags_of, asked.seed, min(A_RUN, asked.count))
    for tally in _in_processes(run, numbers, asked.jobs, failures):
        total.add(tally)
    failures += total.failures
    done = f"{total.moves} moves, {total.drags} drags, {total.steps.total()} other steps"
    jumps = [each for each in failures if each[1].startswith("a jump")]
    small = f"{total.compared} small steps, the largest {total.largest:.1f} mm"
    return Result(
        [
            _at_least("moves through the session", total.moves, asked.count),
            _none("faults of the program in drags", failures, done),
            _none("jumps", jumps, small),
            _at_least("runs taken back to their start", total.undone, len(numbers)),
        ],
        failures,
    )


def drawn(asked: Asked) -> Result:
    """Draw results of cars with room along paths."""
    total, failures = Tally(), Failures()
    run = partial(drawn_run, asked.seed)
    for tally in _in_processes(run, range(asked.count), asked.jobs, failures):
        total.add(tally)
    failures += total.failures
    done = f"{total.moves} steps, {total.compared} wide ones, {total.refused} that nothing moves"
    figures = [_none("kicks, flips and hysteresis of drawn results", failures, done)]
    return Result(figures, failures)


def _drags_of(seed: int, moves: int, number: int) -> Tally:
    return wild_run(seed, number, moves)


def mouse(asked: Asked) -> Result:
    """Use the window wildly with mouse and keys, in one process, so that its memory tells."""
    total, failures = MouseTally(), Failures()
    with _platform("xcb" if os.environ.get("DISPLAY") else "offscreen"):
        for tally in _in_processes(_mouse_of, [asked], 1, failures):
            total = tally
    failures += total.failures
    done = f"{total.drags} drags, {total.steps.total()} other steps"
    memory = f"{min(total.memory, default=0.0):.0f} to {max(total.memory, default=0.0):.0f} MB"
    return Result(
        [
            _at_least("real mouse moves", total.moves, asked.count),
            _none("faults of the program under the mouse", failures, done),
            Figure(
                "growth of memory",
                f"{total.growth:.1f} MB ({memory})",
                f"at most {MOST_GROWTH:.0f} MB",
                total.growth <= MOST_GROWTH,
            ),
        ],
        failures,
    )


def _mouse_of(asked: Asked) -> MouseTally:
    with tempfile.TemporaryDirectory() as folder:
        return wild_mouse(asked.seed, asked.count, Path(folder))


def kills(asked: Asked) -> Result:
    """Kill processes at work."""
    total = Kills()
    kill = partial(kill_one, asked.seed, longest=4.0)
    with ThreadPoolExecutor(asked.jobs) as pool:
        for each in pool.map(kill, range(asked.count)):
            total.add(each)
    lost = [seconds for seconds, _ in sorted(total.lost)] or [0.0]
    over = [
        (told, f"work lost: {seconds:.2f} s") for seconds, told in total.lost if seconds > MOST_LOST
    ]
    return Result(
        [
            _at_least("processes killed, file whole", total.whole, asked.count),
            _none("damage that kills did", total.failures, f"{total.kept} kept copies whole"),
            Figure(
                "work lost",
                f"median {lost[len(lost) // 2]:.2f} s, most {lost[-1]:.2f} s, {len(over)} over",
                f"at most {MOST_LOST:g} s",
                not over,
            ),
        ],
        [*total.failures, *over],
    )


PARTS: Final[dict[str, tuple[Callable[[Asked], Result], int]]] = {
    "files": (files, 10_000),
    "processes": (processes, 200),
    "nasty": (nasty, len(NASTY)),
    "drags": (drags, 100_000),
    "drawn": (drawn, 200),
    "mouse": (mouse, 5_000),
    "kills": (kills, 200),
}


def _none(name: str, failures: Failures, told: str) -> Figure:
    return Figure(name, f"{len(failures)} ({told})", "0", not failures)


def _at_least(name: str, number: int, wanted: int) -> Figure:
    return Figure(name, f"{number}", f"{wanted}", number >= wanted)


def _in_processes(
    work: Callable[..., Made], tasks: Iterable[object], jobs: int, failures: Failures
) -> Iterator[Made]:
    """Yield what processes make of tasks; the death of one is a failure."""
    with ProcessPoolExecutor(jobs, get_context("spawn"), _prepare) as pool:
        for task, made in [(task, pool.submit(work, task)) for task in tasks]:
            try:
                yield made.result()
            except BrokenProcessPool:
                failures.append((str(task), "the process died, or another beside it"))


def _prepare() -> None:
    """Make warnings errors, as in tests; sessions need an application, but no window."""
    warnings.simplefilter("error")
    if os.environ.get("QT_QPA_PLATFORM") is None and QCoreApplication.instance() is None:
        _prepare.application = QCoreApplication([])  # type: ignore[attr-defined]


@contextmanager
def _platform(name: str) -> Iterator[None]:
    before = os.environ.get("QT_QPA_PLATFORM")
    os.environ["QT_QPA_PLATFORM"] = name
    try:
        yield
    finally:
        os.environ.pop("QT_QPA_PLATFORM")
        if before is not None:
            os.environ["QT_QPA_PLATFORM"] = before
