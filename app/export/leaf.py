"""A leaf of paper that bears one picture: whose car, which changes, what height, which day."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from typing import Any, Final

from app import VERSION
from app.document.model import Setup
from app.paint.pens import LONG_DASH_TWO_DOTS
from app.paper.faces import FINE, SMALL, STRONG, TEXT, Face, wrapped
from app.paper.flow import Block, height_of
from app.paper.ink import MIDDLE, THICK, THIN, Ink
from app.paper.sizes import A4, Paper
from app.sheet.heads import day_words, title_lines
from app.sheet.pdf import needs_application
from app.systems.answers import Study
from app.systems.height_words import height_words
from geometry.dataclass import dataclass

EDGE: Final = 10.0  # free paper around everything [mm]
DAY: Final = 52.0  # room for the date and the revision at the right [mm]
FOOT: Final = 12.0  # of legend and origin [mm]
MOST_LINES: Final = 4  # of the names of changes
UNTITLED: Final = "Untitled car"

Box = tuple[float, float, float, float]  # x, y, width, height [mm]


@dataclass(frozen=True)
class Imprint:
    """What all pictures of one export share; `today` of none is the setup's own date."""

    paper: Paper = A4
    today: date | None = None
    source: str = ""  # the setup's file name
    decimal: str = "."


@dataclass(frozen=True)
class SecondCar:
    """A second car that lies over the first, as built; `is_alone` where the first isn't seen."""

    study: Study[Any]
    name: str
    source: str = ""  # its file's name
    is_alone: bool = False


@dataclass(frozen=True)
class Sign:
    """A line of the legend and what it means."""

    weight: float  # [mm]
    dashes: tuple[float, ...]
    words: str


@dataclass(frozen=True)
class Leaf:
    """A page on its side [mm]: a head, a picture, and under it the legend.

    `paint` fills the box between head and foot, `scale` the right part of the foot.
    """

    title: str
    width: float
    height: float
    head: tuple[Block, ...]
    origin: str
    signs: tuple[Sign, ...] = ()
    note: str = ""
    paint: Callable[[Ink, Box], None] = lambda ink, box: None
    scale: Callable[[Ink, float, float], None] = lambda ink, right, top: None

    @property
    def box(self) -> Box:
        """The room of the picture."""
        top = EDGE + height_of(self.head) + 2.0
        return EDGE, top, self.width - 2 * EDGE, self.height - EDGE - FOOT - top

    def paint_all(self, ink: Ink) -> None:
        """Paint the whole leaf."""
        top = EDGE
        for block in self.head:
            block.paint(ink, top)
            top += block.height
        ink.rule((EDGE, top), (self.width - EDGE, top), THICK)
        self.paint(ink, self.box)
        self._paint_foot(ink)

    def _paint_foot(self, ink: Ink) -> None:
        right, top = self.width - EDGE, self.height - EDGE - FOOT + 2.0
        ink.rule((EDGE, top), (right, top), MIDDLE / 2)
        x = EDGE
        for sign in self.signs:
            ink.chain([(x, top + 3.6), (x + 11.0, top + 3.6)], sign.weight, sign.dashes)
            ink.write(x + 13.0, top + 4.6, sign.words, FINE)
            x += 36.0
        ink.write(EDGE, top + 9.4, self.note, FINE, width=0.62 * (right - EDGE))
        self.scale(ink, right, top)
        ink.write(right, top + 9.4, self.origin, FINE, "right", 0.36 * (right - EDGE))


def blank_leaf(
    study: Study[Any], what: str, imprint: Imprint, second: SecondCar | None = None
) -> Leaf:
    """Return a leaf on which a picture of a study is still to be painted.

    One of a second car alone says whose car that is, as if it were the first.
    """
    if second is not None and second.is_alone:
        study, imprint = second.study, replace(imprint, source=second.source)
    needs_application()  # for the faces
    setup, paper = study.setup, imprint.paper
    return Leaf(
        title=f"{setup.title or UNTITLED}, {what}",
        width=paper.height,
        height=paper.width,
        head=_head(study, what, paper.height, imprint, second),
        origin=" · ".join(filter(None, (imprint.source, f"Wishboard {VERSION}"))),
    )


def signs_of(
    study: Study[Any], more: Sequence[Sign] = (), second: SecondCar | None = None
) -> tuple[Sign, ...]:
    """Return which car each line is; a car as measured is the only one, in full lines."""
    if second is not None and second.is_alone:
        words = "as built" if second.study.changed else "as found"
        return (Sign(THICK, (), words), *more)
    if second is not None:
        more = (*more, Sign(THIN, LONG_DASH_TWO_DOTS, "second car"))
    if not study.changed:
        return (Sign(THICK, (), "as found"), *more)
    return (Sign(THICK, (), "as built"), Sign(THIN, (12.0, 6.0), "as found"), *more)


def changes_words(setup: Setup) -> str:
    """Return the names of the changes that are on."""
    names = [change.name for change in setup.changes if change.on]
    if not names:
        return "As measured: no change is on."
    head = "Changes that are on" if len(names) > 1 else "The change that is on"
    return f"{head}: {'; '.join(names)}."


def second_line(second: SecondCar, decimal: str) -> str:
    """Say which car lies over the first, and how it stands."""
    stands = height_words(second.study, decimal)
    name = second.name.removesuffix(", as built")
    return f"Second car: {name}. {stands.partition('. ')[2] or stands}"


def _head(
    study: Study[Any], what: str, width: float, imprint: Imprint, second: SecondCar | None
) -> tuple[Block, ...]:
    setup, inner, today = study.setup, width - 2 * EDGE, imprint.today
    values, stands = setup.evidence, height_words(study, imprint.decimal)
    revision = str(values.get("sheet.revision", ""))
    units = "mm, degrees" if setup.units == "mm" else "inches, degrees"
    day = day_words(today.isoformat()) if today else day_words(str(values.get("sheet.date", "")))
    right = [(day, STRONG), (f"revision {revision} · {units}" if revision else units, SMALL)]
    lines, face = title_lines(setup.title or UNTITLED, inner - DAY)

    def paint(ink: Ink, top: float) -> None:
        for index, line in enumerate(lines):
            ink.write(EDGE, top + 5.0 + index * face.line, line, face, width=inner - DAY)
        for index, (words, look) in enumerate(right):
            ink.write(width - EDGE, top + 4.0 + 4.6 * index, words, look, "right", DAY - 2.0)

    height = max(5.0 + (len(lines) - 1) * face.line + 1.6, 10.0)
    rows = [Block(height, paint), _line(what, TEXT)]
    changes = _cut(wrapped(changes_words(setup), SMALL, inner), inner)
    rows += [_line(line, SMALL) for line in changes]
    rows += [_line(line, SMALL) for line in wrapped(stands, SMALL, inner)]
    if second is not None:
        words = f"Shown alone: {second.name}."
        told = words if second.is_alone else second_line(second, imprint.decimal)
        rows += [_line(line, SMALL) for line in _cut(wrapped(told, SMALL, inner), inner)]
    return (*rows, Block(1.0, lambda ink, top: None))


def _cut(lines: list[str], width: float) -> list[str]:
    """Return no more lines than the head has room for; the last one says that there is more."""
    if len(lines) <= MOST_LINES:
        return lines
    last = wrapped(lines[MOST_LINES - 1], SMALL, width - 8.0)[0]
    return [*lines[: MOST_LINES - 1], f"{last} …"]


def _line(words: str, face: Face) -> Block:
    def paint(ink: Ink, top: float) -> None:
        ink.write(EDGE, top + 0.78 * face.line, words, face)

    return Block(face.line, paint)
