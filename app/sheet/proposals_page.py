"""The proposals beside each other as a page for the owner: words first, then the figures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from app.document.model import Setup
from app.judge.compare import BEST, PAST
from app.paper.faces import FINE, FINE_STRONG, SMALL, SMALL_STRONG, STRONG, Face, wrapped
from app.paper.flow import Block, kept, spaced
from app.paper.ink import GREY, MIDDLE, THIN, Ink
from app.paper.parts import heading, paragraph
from app.paper.sizes import Paper
from app.shop.proposals import Figure, ProposalPage, ProposalRow, ProposalWords, proposal_page
from geometry.dataclass import dataclass

Section = tuple[str, list[Block]]

TITLE: Final = "Proposals"
FOUND: Final = "as found"
ROW: Final = 4.6
MORE: Final = 3.9  # for a further line of a title
GROUP: Final = 6.2
MARK: Final = 3.4  # room of the sign beside a figure [mm]
MOST_WIDE: Final = 28.0  # of a column [mm]
LEAST_TITLE: Final = 58.0  # room of the titles [mm]
MOST_LINES: Final = 3  # of a name above its column
CAUTION: Final = (
    "Each car is shown as it will stand, on its wheels, aligned. A calculation from measured "
    "points: it is no approval and says nothing of strength."
)
SURE: Final = "How sure the figures are stands on the pages of the work that is ordered."
BANDS: Final = (
    "   ± holds in 95 of 100 cases, for each car by itself; what shifts all proposals alike "
    "doesn't count between them. Cars that can't be told apart are best together, or none is."
)
LEGEND: Final = (
    f"{BEST} best of its row, where it is plain which way is better.   {PAST} past its limit.   "
    "What is the same on every car, and has no limit, is left out."
)


def proposal_sections(setup: Setup, paper: Paper, decimal: str) -> Iterator[Section]:
    """Yield the page on the proposals that a setup names; none where it names none."""
    told = proposal_page(setup, decimal)
    if told is not None:
        yield TITLE, _blocks(told, paper)


def _blocks(told: ProposalPage, paper: Paper) -> list[Block]:
    words = [block for each in told.words for block in _proposal(each, paper)]
    return [
        heading("What each makes of the car", paper.margin),
        *words,
        heading("Side by side", paper.margin, gap=5.0),
        *paragraph(LEGEND + (BANDS if told.has_bands else ""), paper.margin, paper.inner, FINE),
        *_table(told, paper),
        *spaced(
            paragraph(
                CAUTION if told.has_bands else f"{CAUTION} {SURE}", paper.margin, paper.inner, FINE
            ),
            2.0,
        ),
    ]


def _proposal(told: ProposalWords, paper: Paper) -> list[Block]:
    """Return a proposal's name and changes, kept with the first of what is said of it."""
    left, room = paper.margin + 6.0, paper.inner - 6.0
    name = paragraph(told.name, left, room, STRONG)
    changes = paragraph(f"Made of: {'; '.join(told.changes)}.", left, room, FINE, 0.2)
    sentences = [
        block
        for sentence in told.sentences
        for block in paragraph(
            sentence.text,
            left,
            room,
            SMALL_STRONG if sentence.severity == "wrong" else SMALL,
            0.4,
            PAST if sentence.severity == "wrong" else "·",
        )
    ]
    head = [replace(block, keeps=True) for block in (*name, *changes)]
    head[0] = _numbered(head[0], told.number, paper)
    return spaced([*head, *sentences], 1.8)


def _numbered(block: Block, number: int, paper: Paper) -> Block:
    def paint(ink: Ink, top: float) -> None:
        ink.write(paper.margin, top + 0.78 * STRONG.line, str(number), STRONG)
        block.paint(ink, top)

    return replace(block, paint=paint)


# The table


@dataclass(frozen=True)
class _Columns:
    """Where titles and figures stand; a column a car, its sign right of its figure."""

    left: float
    right: float
    count: int

    @property
    def wide(self) -> float:
        """How wide a column is."""
        return min(MOST_WIDE, (self.right - self.left - LEAST_TITLE) / self.count)

    @property
    def room(self) -> float:
        """How much room titles have."""
        return self.right - self.left - self.count * self.wide - 1.0

    def ends(self) -> list[float]:
        """Return where the figures of each column end."""
        first = self.right - (self.count - 1) * self.wide - MARK
        return [first + place * self.wide for place in range(self.count)]


def _table(told: ProposalPage, paper: Paper) -> list[Block]:
    names = [FOUND, *(each.name for each in told.words)]
    columns = _Columns(paper.margin, paper.right, len(names))
    head = _head(columns, names)
    blocks: list[Block] = []
    for end in dict.fromkeys(row.end for row in told.rows):
        rows = [_row(row, columns) for row in told.rows if row.end == end]
        blocks += kept([_group(end.capitalize(), columns), *rows[:2]])
        blocks += rows[2:]
    return kept([head, *(replace(block, repeats=head) for block in blocks[:3])]) + [
        replace(block, repeats=head) for block in blocks[3:]
    ]


def _head(columns: _Columns, names: list[str]) -> Block:
    """Return the head: each car's number, and its name where it fits above all columns."""
    lines = [wrapped(name, FINE, columns.wide - MARK) for name in names[1:]]
    shows_names = all(len(each) <= MOST_LINES for each in lines)
    deep = max(map(len, lines), default=0) if shows_names else 0
    high = ROW + deep * FINE.line + 0.6

    def paint(ink: Ink, top: float) -> None:
        for number, end in enumerate(columns.ends()):
            words, room = str(number) if number else FOUND, columns.wide - 1.0
            ink.write(end, top + 3.4, words, FINE_STRONG, "right", room)
            for index, line in enumerate(lines[number - 1] if number and shows_names else ()):
                ink.write(end, top + 3.4 + (index + 1) * FINE.line, line, FINE, "right")
        ink.rule((columns.left, top + high), (columns.right, top + high), MIDDLE)

    return Block(high, paint)


def _group(words: str, columns: _Columns) -> Block:
    def paint(ink: Ink, top: float) -> None:
        ink.write(columns.left, top + 4.6, words, SMALL_STRONG)

    return Block(GROUP, paint)


def _row(row: ProposalRow, columns: _Columns) -> Block:
    title = f"{row.title} ({row.limit})" if row.limit else row.title
    first, *more = wrapped(title, SMALL, columns.room)
    lines = [first, *(wrapped(" ".join(more), SMALL, columns.room - 3.0) if more else ())]
    high = ROW + (len(lines) - 1) * MORE

    def paint(ink: Ink, top: float) -> None:
        for index, line in enumerate(lines):
            ink.write(columns.left + (3.0 if index else 0.0), top + 3.3 + index * MORE, line, SMALL)
        for end, figure in zip(columns.ends(), row.figures, strict=True):
            face = _face(figure)
            ink.write(end, top + 3.3, figure.text, face, "right", columns.wide - MARK - 0.6)
            ink.write(end + 0.8, top + 3.3, figure.mark, face)
        ink.rule((columns.left, top + high), (columns.right, top + high), THIN / 2, GREY)

    return Block(high, paint)


def _face(figure: Figure) -> Face:
    return SMALL_STRONG if figure.mark else SMALL
