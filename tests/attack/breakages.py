"""Breaks a copy of the tree in many small ways, one at a time, and sees whether a test notices.

    python -m tests.attack.breakages [--list] [--only NAME ...] [--trust]

First the tests are run unbroken: one that fails anyway would prove nothing. Ends with 1 where one
does, where a breakage survives its tests, or where its text isn't in its file just once.
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from tests.attack.breakage import Breakage
from tests.attack.broken_alignment import ALIGNED
from tests.attack.broken_inside import DOCUMENT, HANDS, KERNEL
from tests.attack.broken_judging import JUDGED
from tests.attack.broken_on_paper import POINTS, RESULTS, SPRINGS, WORK_DONE
from tests.attack.broken_standing import LOADS, STANDING
from tests.attack.broken_survey import TAPED
from tests.attack.broken_templates import DRILLED

OF_THE_CAR = (*KERNEL, *STANDING, *LOADS, *DOCUMENT, *HANDS, *TAPED, *ALIGNED)
BREAKAGES = (*OF_THE_CAR, *JUDGED, *POINTS, *RESULTS, *SPRINGS, *WORK_DONE, *DRILLED)
ROOT = Path(__file__).resolve().parents[2]
COPIED = ("app", "geometry", "tests", "sample_setups", "docs", "pyproject.toml", "README.md")
PASSED, FAILED = 0, 1  # pytest's answers; by any other nothing is told


def problems(breakages: Sequence[Breakage], root: Path = ROOT) -> Iterator[str]:
    """Say which breakages can't be made, or whose tests aren't there."""
    for breakage in breakages:
        file = root / breakage.file
        text = file.read_text("utf-8") if file.exists() else ""
        times = text.count(breakage.before)
        if times != 1:
            yield f"{breakage.name}: its text stands {times} times in {breakage.file}"
        elif not _compiles(text.replace(breakage.before, breakage.after)):
            yield f"{breakage.name}: what is broken is no Python any more"
        for test in breakage.tests:
            if not (root / test.partition("::")[0]).exists():
                yield f"{breakage.name}: there is no {test}"
        if not breakage.tests or breakage.before == breakage.after:
            yield f"{breakage.name}: breaks nothing, or nothing is run"


def _compiles(text: str) -> bool:
    try:
        compile(text, "broken", "exec")
    except SyntaxError:
        return False
    return True


def copy_of_tree(folder: Path) -> Path:
    """Copy what tests need; the tree itself is never touched."""
    copy = folder / "tree"
    copy.mkdir()
    for name in COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
        elif source.exists():
            shutil.copy2(source, copy / name)
    return copy


def is_noticed(breakage: Breakage, copy: Path) -> bool:
    """Break the copy, run the tests that belong to it, and mend it again."""
    file = copy / breakage.file
    whole = file.read_text("utf-8")
    file.write_text(whole.replace(breakage.before, breakage.after), "utf-8")
    try:
        return bool(_failures(breakage.tests, copy))
    finally:
        file.write_text(whole, "utf-8")


def _failures(tests: Sequence[str], copy: Path) -> list[str]:
    """Return which test fails first, if any does; one that can't be run at all is no answer."""
    # Compiled files are told by size and second: a text of the same length would go unnoticed.
    settings = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1", "PYTHONPATH": str(copy)}
    call = [sys.executable, "-m", "pytest", "-n0", "-x", "-q", "-p", "no:cacheprovider", *tests]
    done = subprocess.run(call, cwd=copy, env=settings, capture_output=True, text=True, check=False)
    if done.returncode not in (PASSED, FAILED):
        raise RuntimeError(f"These tests can't be run: {' '.join(tests)}\n{done.stdout[-2000:]}")
    lines = done.stdout.splitlines()
    return [line for line in lines if line.startswith(("FAILED", "ERROR"))]


def survivors(breakages: Sequence[Breakage]) -> Iterator[Breakage]:
    """Yield what no test notices, telling of each breakage as it is tried."""
    with tempfile.TemporaryDirectory(prefix="breakages-") as folder:
        copy = copy_of_tree(Path(folder))
        for number, breakage in enumerate(breakages, 1):
            noticed = is_noticed(breakage, copy)
            words = "noticed" if noticed else "SURVIVED"
            print(f"{number:3} of {len(breakages)}  {words:8}  {breakage.name}", flush=True)
            if not noticed:
                yield breakage


def sound(breakages: Sequence[Breakage]) -> Iterator[str]:
    """Say which tests fail in a tree that nobody broke: their failing would prove nothing."""
    tests = tuple(dict.fromkeys(test for breakage in breakages for test in breakage.tests))
    with tempfile.TemporaryDirectory(prefix="breakages-") as folder:
        for failure in _failures(tests, copy_of_tree(Path(folder))):
            yield f"Fails though nothing is broken: {failure}"


def main(arguments: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--list", action="store_true", help="name the breakages and their files")
    parser.add_argument("--only", nargs="+", metavar="NAME", help="try these alone")
    parser.add_argument("--trust", action="store_true", help="don't run the tests unbroken first")
    asked = parser.parse_args(arguments)
    chosen = [b for b in BREAKAGES if not asked.only or b.name in asked.only]
    unknown = set(asked.only or ()) - {b.name for b in BREAKAGES}
    if unknown:
        parser.error(f"no such breakage: {', '.join(sorted(unknown))}")
    if asked.list:
        for breakage in chosen:
            print(f"{breakage.name:45} {breakage.file}")
        return 0
    wrong = [*problems(chosen), *(() if asked.trust else sound(chosen))]
    for words in wrong:
        print(words)
    left = list(survivors(chosen)) if not wrong else []
    if left:
        print(f"{len(left)} survived: {', '.join(breakage.name for breakage in left)}")
    return 1 if wrong or left else 0


if __name__ == "__main__":
    raise SystemExit(main())
