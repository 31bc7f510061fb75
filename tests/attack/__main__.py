"""The long run: `python -m tests.attack [--part PART …] [--count N | --share S] [--seed N]`.

Prints each figure beside the one to reach; exit status 1 if one isn't reached.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence

from tests.attack.failures import kind_of
from tests.attack.long_run import PARTS, Asked, Failures, Figure

SHOWN = 3  # of each kind of failure so many are told


def main(arguments: Sequence[str]) -> int:
    """Run the parts that are asked for, and print their figures."""
    given = _parser().parse_args(arguments)
    figures: list[Figure] = []
    with tempfile.TemporaryDirectory() as home:
        for name in ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME"):
            os.environ[name] = home  # nobody's settings and nobody's kept work
        for part in given.part or PARTS:
            run, whole = PARTS[part]
            count = given.count or max(1, round(whole * given.share))
            start = time.monotonic()
            result = run(Asked(given.seed, count, given.jobs))
            print(f"{part}: {count}, seed {given.seed}, {time.monotonic() - start:.0f} s")
            print("\n".join(_told(result.failures)), flush=True)
            figures += result.figures
    print("\n".join(_table(figures)))
    return 0 if all(figure.is_reached for figure in figures) else 1


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m tests.attack", description=__doc__)
    parser.add_argument("--part", nargs="+", choices=PARTS, help="only these parts")
    parser.add_argument("--count", type=int, help="files, processes, moves or kills of each part")
    parser.add_argument("--share", type=float, default=1.0, help="of the whole long run")
    parser.add_argument("--seed", type=int, default=1, help="another seed, other files and moves")
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1, help="at a time")
    return parser


def _told(failures: Failures) -> Iterator[str]:
    """Yield the failures, those of a kind together, the most frequent first."""
    kinds: dict[str, Failures] = {}
    for failure in failures:
        kinds.setdefault(kind_of(failure[1]), []).append(failure)
    for kind, each in sorted(kinds.items(), key=lambda item: -len(item[1])):
        yield f"  {len(each)} times {kind}"
        yield from (f"    {where}\n      {words}" for where, words in each[:SHOWN])


def _table(figures: Sequence[Figure]) -> Iterator[str]:
    rows = [("figure", "measured", "to reach", "")]
    rows += [(f.name, f.measured, f.to_reach, "" if f.is_reached else "NOT") for f in figures]
    widths = [max(len(row[column]) for row in rows) for column in range(4)]
    for row in rows:
        yield "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
