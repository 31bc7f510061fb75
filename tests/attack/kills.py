"""Processes killed at work: the file on disk is whole, and what was kept is whole and recent."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Final

from app.document.faults import SetupFaults
from app.document.files import read_setup
from app.document.recovery import LeftOver, left_overs
from app.systems.every import LIMIT_KINDS
from tests.attack.drags import CARS
from tests.attack.failures import ROOT
from tests.attack.worker import mark_of

KINDS: Final = ("drag", "save", "window")
START: Final = 60.0  # s that a process may take until it is at work, on a busy machine


@dataclass(frozen=True)
class Done:
    """A line of a worker: what it did, the mark of its setup, and when [s]."""

    what: str
    mark: str
    when: float


@dataclass
class Kills:
    """What became of killed processes."""

    killed: int = 0
    whole: int = 0  # files on disk
    kept: int = 0  # recovered copies, all of them whole unless among the failures
    lost: list[tuple[float, str]] = field(default_factory=list)  # work [s], and of which kill
    failures: list[tuple[str, str]] = field(default_factory=list)

    def add(self, other: Kills) -> None:
        """Take in other kills."""
        self.killed += other.killed
        self.whole += other.whole
        self.kept += other.kept
        self.lost += other.lost
        self.failures += other.failures


def kill_one(seed: int, number: int, longest: float, until_kept: bool = False) -> Kills:
    """Let a process work for up to `longest` seconds, kill it, and judge what it leaves.

    `until_kept` counts them from when something of its work is kept.
    """
    chance, kind = Random(f"{seed}/{number}"), KINDS[number % len(KINDS)]
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        path = home / CARS[number % len(CARS)].name
        shutil.copy(CARS[number % len(CARS)], path)
        worker = Worker(kind, path, f"{seed}/{number}", home)
        worker.wait_for(lambda: bool(worker.done))
        if until_kept and kind != "save":
            worker.wait_for(lambda: bool(list(home.rglob("rec-*.toml"))))
        time.sleep(chance.uniform(0.0, longest))
        killed = worker.kill()
        kills = Kills(killed=1)
        told = f"{kind} {seed}/{number} on {path.stem}"
        wrong = _judged(kills, told, worker, home, killed)
        kills.failures = [(told, failure) for failure in wrong]
    return kills


class Worker:
    """A process at work, with what it said."""

    def __init__(self, kind: str, path: Path, seed: str, home: Path) -> None:
        self.kind, self.path = kind, path
        self.done: list[Done] = []
        places = ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME")
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.attack.worker", kind, str(path), seed],
            cwd=ROOT,
            env={
                "QT_QPA_PLATFORM": "offscreen",
                **os.environ,
                **{place: str(home) for place in places},
            },
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        self._listener = threading.Thread(target=self._listen)
        self._listener.start()

    def _listen(self) -> None:
        assert self._process.stdout is not None
        with self._process.stdout as stream:
            for line in stream:
                words = line.split()
                if line.endswith("\n") and len(words) == 3:
                    self.done.append(Done(words[0], words[1], float(words[2])))

    def wait_for(self, condition: Callable[[], bool]) -> None:
        """Wait until something is so, or the process has ended, or no longer is waited for."""
        end = time.monotonic() + START
        while not condition() and self._process.poll() is None and time.monotonic() < end:
            time.sleep(0.01)

    def kill(self) -> float:
        """Kill it, and return when."""
        killed = time.time()
        self._process.kill()
        self._process.wait()
        self._listener.join()
        return killed

    def complaint(self) -> str:
        """Return what it said to standard error, but for what only a screen could do."""
        assert self._process.stderr is not None
        with self._process.stderr as stream:
            lines = [line for line in stream if "does not support" not in line]
        return lines[-1].strip() if lines else ""


def _judged(kills: Kills, told: str, worker: Worker, home: Path, killed: float) -> list[str]:
    """Judge what a killed process leaves, and return what is wrong."""
    wrong = [f"it said: {words}"] if (words := worker.complaint()) else []
    if not worker.done:
        return [*wrong, "it never came to work"]
    marks = [each.mark for each in worker.done]
    saved = {marks[0], *(each.mark for each in worker.done if each.what == "saves")}
    there = _mark_at(worker.path)
    kills.whole += there in saved
    if there not in saved:
        wrong.append("the file on disk is neither the old nor the new one")
    folders = {path.parent for path in home.rglob("rec-*.lock")}
    kept = [left for folder in folders for left in left_overs(folder)]
    held = [(left, mark) for left in kept if (mark := _mark_kept(left))]
    kills.kept += len(held)
    wrong += ["a kept copy is damaged"] * (len(kept) - len(held))
    wrong += [failure for left in kept for failure in _companion(left, worker.path, killed)]
    if worker.kind != "window" and not {mark for _, mark in held} <= {*marks}:
        wrong.append("a kept copy is of no state that there was")
    safe = max(_last(marks, there), *(_last_in(worker.done, *each) for each in held), 0)
    lost = killed - worker.done[safe + 1].when if safe + 1 < len(marks) else 0.0
    kills.lost.append((lost, told))
    return wrong


def _last(marks: list[str], mark: str) -> int:
    """Return the last place of a mark, -1 for one that was never said."""
    return max((place for place, each in enumerate(marks) if each == mark), default=-1)


def _last_in(done: list[Done], kept: LeftOver, mark: str) -> int:
    """Return how far what was done is in a kept copy.

    One that was kept amid a drag, between two things said, is as recent as its companion says.
    """
    place = _last([each.mark for each in done], mark)
    return place if place >= 0 else sum(each.when <= kept.when for each in done) - 1


def _mark_at(path: Path) -> str:
    """Return the mark of a file, "" for one that can't be read."""
    try:
        return mark_of(read_setup(path, limit_kinds=LIMIT_KINDS, partial=True).setup)
    except SetupFaults:
        return ""


def _mark_kept(left: LeftOver) -> str:
    """Return the mark of a kept copy, "" for one that can't be read."""
    try:
        return mark_of(left.setup(limit_kinds=LIMIT_KINDS))
    except SetupFaults:
        return ""


def _companion(left: LeftOver, original: Path, killed: float) -> list[str]:
    """Judge what stands beside a kept copy: of which file it is, and since when."""
    wrong = []
    if left.original != original:
        wrong.append(f"a kept copy is said to be of {left.original}")
    if not killed - 2 * START < left.when <= killed + 1.0:
        wrong.append(f"a kept copy is said to be of {left.when - killed:.1f} s after the kill")
    if left.title != left.setup(limit_kinds=LIMIT_KINDS).title:
        wrong.append("a kept copy has another title beside it")
    return wrong
