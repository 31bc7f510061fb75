"""The real command line on damaged files: a process each, without a display."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from tests.attack.damage import damaged_file
from tests.attack.failures import ROOT
from tests.attack.files import raw_characters

COMMANDS: Final = (
    ("report",),
    ("check",),
    ("curves",),
    ("report", "--json"),
    ("curves", "--json", "--over", "roll"),
    ("sheet", "-o", "sheet.pdf"),
    (),  # opening: without a display, report and sheet are written instead
)
LONGEST: Final = 60.0  # s that a process may take, on a busy machine


@dataclass
class Runs:
    """What became of a number of processes."""

    statuses: Counter[int] = field(default_factory=Counter)
    failures: list[tuple[str, str]] = field(default_factory=list)

    def add(self, number: int, seed: int) -> None:
        """Run one command on one damaged file, and judge what it says and leaves."""
        words = COMMANDS[number % len(COMMANDS)]
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            path = folder / "car.toml"
            path.write_bytes(damaged_file(seed, number))
            told = f"damaged-{seed}-{number}.toml, {' '.join(words) or 'open'}"
            self.failures.extend((told, failure) for failure in self._run(words, path))

    def _run(self, words: tuple[str, ...], path: Path) -> list[str]:
        before = path.read_bytes()
        try:
            done = _command(words, path)
        except subprocess.TimeoutExpired:
            return [f"more than {LONGEST:g} s"]
        self.statuses[done.returncode] += 1
        wrong = raw_characters(done.stdout + done.stderr)
        if done.returncode not in (0, 1):
            wrong.append(f"exit status {done.returncode}")
        if "Traceback" in done.stderr:
            wrong.append(f"a traceback that ends in {done.stderr.strip().splitlines()[-1][:120]}")
        elif "Warning:" in done.stderr:
            wrong.append(f"a warning: {done.stderr.strip().splitlines()[0][:120]}")
        elif done.returncode == 1 and not done.stderr.strip():
            wrong.append("refused without a word")
        left = {each.name for each in path.parent.iterdir()} - {path.name}
        if left != (_asked_for(words) if done.returncode == 0 else set()):
            wrong.append(f"files left: {sorted(left)}")
        if path.read_bytes() != before:
            wrong.append("the setup file was changed")
        return wrong


def _asked_for(words: tuple[str, ...]) -> set[str]:
    if not words:
        return {"car-report.txt", "car-sheet.pdf"}
    return {"sheet.pdf"} if words[0] == "sheet" else set()


def _command(words: tuple[str, ...], path: Path) -> subprocess.CompletedProcess[str]:
    bare = {"DISPLAY": "", "WAYLAND_DISPLAY": "", "QT_QPA_PLATFORM": ""}
    return subprocess.run(
        [sys.executable, "-m", "app", *words[:1], path.name, *words[1:]],
        cwd=path.parent,
        env={**os.environ, **bare, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        encoding="utf-8",
        errors="surrogateescape",
        timeout=LONGEST,
    )
