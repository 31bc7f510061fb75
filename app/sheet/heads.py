"""The head and the foot of every page: whose car, which revision, which page."""

from __future__ import annotations

from datetime import date
from typing import Final

from app import VERSION
from app.document.model import Setup
from app.judge.survey_words import adjusted_words
from app.paper.faces import FINE, LEAST, SMALL, STRONG, TEXT, TITLE, Face, fitting, wrapped
from app.paper.ink import MIDDLE, THICK, Ink
from app.paper.sizes import Paper
from app.words.lengths import ruled_number
from geometry.dataclass import dataclass

TOP: Final = 12.0  # first ink of a page [mm]
BODY: Final = 28.5  # where what the page is about begins
FOOT: Final = 16.8  # from the paper's lower edge up to the end of that
LAST: Final = 12.2  # from the paper's lower edge to the lowest ink
MONTHS: Final = (
    "Jan",
    "Feb",
    "Mar",
    "Apr",
    "May",
    "Jun",
    "Jul",
    "Aug",
    "Sep",
    "Oct",
    "Nov",
    "Dec",
)


@dataclass(frozen=True)
class Imprint:
    """What a page says about the sheet: title, revision, dates, file; the file also its author."""

    title: str
    revision: str
    day: str
    measured: str
    units: str
    source: str
    author: str = ""

    @property
    def foot(self) -> str:
        """The line at the foot of each page."""
        parts = (f"Wishboard {VERSION}", self.source, self.revision, self.measured)
        return " · ".join(filter(None, parts))


def imprint_of(setup: Setup, today: date | None, source: str, decimal: str) -> Imprint:
    """Return what the pages say about the sheet; a date in the setup goes before today's."""
    values = setup.evidence
    revision = str(values.get("sheet.revision", ""))
    written = str(values.get("sheet.date", ""))
    day = day_words(written) or (day_words(today.isoformat()) if today else "")
    units = "mm, degrees" if setup.units == "mm" else "inches, degrees"
    return Imprint(
        setup.title or "Untitled car",
        f"revision {revision}" if revision else "",
        day,
        measured_words(setup, decimal),
        units,
        source,
        str(values.get("sheet.made_by", "")),
    )


def measured_words(setup: Setup, decimal: str) -> str:
    """Return when and how exactly the car was measured."""
    when = day_words(str(setup.evidence.get("sheet.measured", "")))
    within = setup.evidence.get("sheet.measured_within")
    words = f"measured {when}" if when else "" if within is None else "measured"
    if isinstance(within, float | int):
        size = f"{ruled_number(float(within), setup.units, decimal)} {setup.units}"
        words += f", ± {size}" if when else f" ± {size}"
    return ", ".join(filter(None, [words, adjusted_words(setup)]))


def day_words(written: str) -> str:
    """Return a date as "24 Nov 2026"; words that are no date as they are."""
    try:
        day = date.fromisoformat(written)
    except ValueError:
        return written
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def paint_head(ink: Ink, paper: Paper, imprint: Imprint, subtitle: str, page: str) -> None:
    """Write the head, between the top margin and a thick rule."""
    left, right = paper.margin, paper.right
    room = paper.inner - 50.0
    lines, face = title_lines(imprint.title, room)
    first = TOP + (6.0 if len(lines) == 1 else 3.4)
    for index, line in enumerate(lines):
        ink.write(left, first + index * face.line, line, face, width=room)
    ink.write(left, TOP + 13.4, subtitle, TEXT, width=room)
    head_lines = [
        (words, face) for words, face in ((imprint.revision, STRONG), (imprint.day, TEXT)) if words
    ]
    for index, (words, face) in enumerate(head_lines):
        ink.write(right, TOP + 5.0 + 4.3 * index, words, face, "right", 48.0)
    ink.write(right, TOP + 13.4, f"{page} · {imprint.units}", SMALL, "right", 48.0)
    ink.rule((left, BODY - 1.0), (right, BODY - 1.0), THICK)


def title_lines(title: str, room: float) -> tuple[list[str], Face]:
    """Return a title on one line, smaller if need be, or on two small ones."""
    face = fitting(title, TITLE, room)
    if face.points >= 13.0:
        return [title], face
    small = Face(11.0, bold=True)
    lines = wrapped(title, small, room)
    while len(lines) > 2 and small.points > LEAST:
        small = Face(small.points - 0.5, bold=True)
        lines = wrapped(title, small, room)
    return [*lines[:1], " ".join(lines[1:])], small


def paint_foot(ink: Ink, paper: Paper, imprint: Imprint) -> None:
    """Write the foot under a fine rule."""
    rule = paper.height - LAST - 3.7
    ink.rule((paper.margin, rule), (paper.right, rule), MIDDLE / 2)
    ink.write(paper.right, paper.height - LAST - 0.8, imprint.foot, FINE, "right", paper.inner)
