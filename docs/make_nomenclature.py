"""Write the tables of results in docs/nomenclature.md: `python docs/make_nomenclature.py`."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from app.document.units import unit_of  # noqa: E402
from geometry.catalogue.front import RESULTS, Result  # noqa: E402
from geometry.catalogue.rear import LEAF_RESULTS, LINK_RESULTS  # noqa: E402

PAGE: Final = ROOT / "docs" / "nomenclature.md"
BEGIN: Final = "<!-- made by docs/make_nomenclature.py: begin -->"
END: Final = "<!-- made by docs/make_nomenclature.py: end -->"
HEAD: Final = "| result, key | unit | + means | − means | what it is | source |"
SECTIONS: Final[tuple[tuple[str, tuple[Result, ...]], ...]] = (
    ("Front", RESULTS),
    ("Rear on leaf springs", LEAF_RESULTS),
    ("Rear on links", tuple(each for each in LINK_RESULTS if each not in LEAF_RESULTS)),
)


def tables() -> str:
    """Return all tables as Markdown, group by group."""
    return "\n".join(line for title, results in SECTIONS for line in _section(title, results))


def made(page: str) -> str:
    """Return the page with its tables made anew."""
    before, rest = page.split(BEGIN)
    after = rest.split(END)[1]
    return f"{before}{BEGIN}\n\n{tables()}\n{END}{after}"


def _section(title: str, results: Iterable[Result]) -> Iterator[str]:
    groups: dict[str, list[Result]] = {}
    for result in results:
        groups.setdefault(result.group, []).append(result)
    for group, members in groups.items():
        yield from (f"### {title}: {group[:1].lower()}{group[1:]}", "", HEAD)
        yield "| --- | --- | --- | --- | --- | --- |"
        yield from map(_row, members)
        yield ""


def _row(result: Result) -> str:
    both = dict.fromkeys(unit_of(result.kind, units) for units in ("mm", "in"))
    unit = " or ".join(filter(None, both))
    formula = f" `{result.formula}`" if result.formula else ""
    what = f"{result.definition}{formula}"
    cells = (unit, result.plus, result.minus, what, result.source)
    words = " | ".join(cell.replace("|", "\\|") for cell in cells)
    return f"| **{result.title}** `{result.key}` | {words} |"


if __name__ == "__main__":
    PAGE.write_text(made(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
