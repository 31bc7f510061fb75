"""One file through all that the command line does with it, in this process, without its last net.

Whatever the file is, it is refused with faults that say where, or studied, reported and written
back as it was.
"""

from __future__ import annotations

import io
import json
import os
import re
import subprocess
import sys
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import redirect_stdout
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final, Literal

from app.cli.arguments import Call, Over
from app.cli.checking import check_words
from app.cli.curves import curves_csv, curves_object, curves_of
from app.cli.curves_text import curves_text
from app.cli.files import fault_words, load, solve
from app.cli.machine import name
from app.cli.refused import Refused
from app.cli.report_json import report_object
from app.cli.report_text import report_text
from app.cli.terminal import Terminal, write_json, write_text
from app.document.faults import Fault, SetupFaults
from app.document.files import read_setup, write_setup
from app.document.keys import ALL_KEYS
from app.document.upgrades import FORMAT
from app.systems.every import LIMIT_KINDS
from app.systems.naming import title_of
from app.systems.report import Report
from geometry.front.road import Axle
from tests.attack.damage import damaged_file
from tests.attack.failures import ROOT, TooLong, cpu_limit, place_of

LONGEST: Final = 5.0  # s of CPU time
_WITHOUT_TEXT: Final = ("the file is empty", "UTF-16", "no UTF-8", "can't be read")
_TURNING: Final = frozenset("\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_LINE: Final = re.compile(r"\blines? \d+")
_RUNS: Final[dict[Axle, tuple[Over, ...]]] = {
    "front": ("travel", "roll", "steer"),
    "rear": ("travel", "roll"),
}

Kind = Literal["refused", "unbuilt", "studied", "broken"]


@dataclass(frozen=True)
class Verdict:
    """What became of a file, what a person was told, and what should not have been."""

    kind: Kind
    words: str = ""
    has_line: bool = True
    has_key: bool = True
    failures: tuple[str, ...] = ()


def judged(path: Path) -> Verdict:
    """Put a file through everything, and judge it."""
    before = path.read_bytes()
    try:
        with cpu_limit(LONGEST):
            verdict = _read_and_studied(path)
    except (Exception, TooLong) as error:
        return Verdict("broken", failures=(place_of(error),))
    wrong = [*verdict.failures, *raw_characters(verdict.words)]
    if path.read_bytes() != before:
        wrong.append("the file is written back otherwise")
    return Verdict(verdict.kind, verdict.words, verdict.has_line, verdict.has_key, tuple(wrong))


def _read_and_studied(path: Path) -> Verdict:
    try:
        loaded = read_setup(path, limit_kinds=LIMIT_KINDS)
    except SetupFaults as faults:
        return _refused(path, faults)
    if loaded.format == FORMAT:
        write_setup(path, loaded.setup, loaded)
    try:
        ends = solve(load(path), path)
    except Refused as refused:
        words = printed(refused.words)
        if "gives no suspension" in words:
            return Verdict("refused", words)
        return Verdict("unbuilt", words, bool(_LINE.search(words)), _names_key(words))
    told = [printed(report_text(ends, path, Terminal(80))), printed(check_words(path))]
    told.append(_json(report_object(ends, path)))
    told.extend(words for end in ends for words in _curves(end, path))
    return Verdict("studied", "\n".join(told))


def _curves(end: Report, path: Path) -> Iterator[str]:
    for over in _RUNS[end.study.system.key]:
        call = Call("curves", path, over=over)
        curves = curves_of(end, call, name)
        yield _json(curves_object(curves, path))
        yield printed(curves_csv(curves))
    yield printed(curves_text(curves_of(end, Call("curves", path), title_of), path, Terminal(80)))


def _refused(path: Path, faults: SetupFaults) -> Verdict:
    failures = () if faults.faults else ("refused without a fault",)
    words = printed(fault_words(path, faults))
    has_line = all(map(_has_line, faults.faults))
    has_key = all(fault.key for fault in faults.faults)
    return Verdict("refused", words, has_line, has_key, failures)


def _has_line(fault: Fault) -> bool:
    return fault.line is not None or any(each in fault.found for each in _WITHOUT_TEXT)


def _names_key(words: str) -> bool:
    return any(key.name in words or ".".join(key.place) in words for key in ALL_KEYS)


def printed(words: str) -> str:
    """Return what a terminal would be sent."""
    stream = io.TextIOWrapper(io.BytesIO(), "utf-8")
    write_text(words, stream)
    stream.flush()
    return stream.buffer.getvalue().decode()  # type: ignore[attr-defined]


def _json(value: object) -> str:
    """Return an object as it is printed; what stands in it must be JSON as the standard has it."""
    stream = io.TextIOWrapper(io.BytesIO(), "utf-8")
    with redirect_stdout(stream):
        write_json(value)
    stream.flush()
    text = str(stream.buffer.getvalue().decode())  # type: ignore[attr-defined]
    json.loads(text, parse_constant=_no_number)
    return text


def _no_number(word: str) -> None:
    raise ValueError(f"{word} stands in the JSON")


def raw_characters(words: str) -> list[str]:
    """Return what of a text a terminal would obey rather than show."""
    raw = {
        character
        for character in set(words) - {"\n", "\t"}
        if unicodedata.category(character) == "Cc" or character in _TURNING
    }
    return [f"raw characters on the terminal: {sorted(map(ascii, raw))}"] if raw else []


@dataclass
class Count:
    """The figures of many files."""

    kinds: Counter[str] = field(default_factory=Counter)
    with_line: int = 0
    with_key: int = 0
    failures: list[tuple[str, str]] = field(default_factory=list)  # the file, and what came of it

    @property
    def refusals(self) -> int:
        """How many were refused, as files or as cars."""
        return self.kinds["refused"] + self.kinds["unbuilt"]

    def add(self, other: Count) -> None:
        """Take in the figures of other files."""
        self.kinds += other.kinds
        self.with_line += other.with_line
        self.with_key += other.with_key
        self.failures += other.failures


def damaged_files(folder: Path, seed: int, numbers: Iterable[int]) -> Iterator[Path]:
    """Write damaged files one after the other; each is removed when the next is asked for."""
    for number in numbers:
        path = folder / f"damaged-{seed}-{number}.toml"
        path.write_bytes(damaged_file(seed, number))
        yield path
        path.unlink()


def counted(paths: Iterable[Path]) -> Count:
    """Judge files, and count what became of them."""
    count = Count()
    for path in paths:
        verdict = judged(path)
        count.kinds[verdict.kind] += 1
        if verdict.kind in ("refused", "unbuilt"):
            count.with_line += verdict.has_line
            count.with_key += verdict.has_line and verdict.has_key
        count.failures.extend((path.name, failure) for failure in verdict.failures)
    return count


def told_again(folder: Path, hash_seed: int) -> dict[str, str]:
    """Return what is told of each file of a folder by a new process with its own order of sets."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.attack.files", folder],
        cwd=ROOT,
        env={**os.environ, "PYTHONHASHSEED": str(hash_seed)},
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=600,
        check=True,
    )
    return dict(json.loads(done.stdout))


def _tell_all(folder: Path) -> None:
    told = {path.name: judged(path) for path in sorted(folder.glob("*.toml"))}
    words = {name: [each.kind, each.words, *each.failures] for name, each in told.items()}
    write_text(json.dumps(words))


if __name__ == "__main__":
    _tell_all(Path(sys.argv[1]))
