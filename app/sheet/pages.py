"""The setup sheet, page by page; painted alike on a PDF, on a printer and in the preview."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from datetime import date
from typing import Any, Final

from PySide6.QtGui import QPainter

from app.paper.faces import DOTS
from app.paper.flow import Block, Page, flow, height_of
from app.paper.ink import Ink
from app.paper.parts import heading
from app.paper.sizes import A4, Paper
from app.sheet.extra_pages import extra_sections
from app.sheet.heads import BODY, FOOT, Imprint, imprint_of, paint_foot, paint_head
from app.sheet.plots import curve_block, legend
from app.sheet.point_table import point_table
from app.sheet.rear_pages import Section, rear_sections
from app.sheet.result_table import limit_blocks, missing_blocks, note_blocks, result_blocks
from app.sheet.views_page import views_block
from app.sheet.work_order import work_order
from app.shop.extras import EXTRAS, Extra
from app.shop.subject import Subject, with_work
from app.systems.answers import Study
from app.systems.front.study import FrontAnswers
from geometry.dataclass import dataclass

TITLE: Final = "Front suspension"


@dataclass(frozen=True)
class SetupSheet:
    """A laid-out sheet: its pages with their subtitles, ready to be painted any number of times."""

    imprint: Imprint
    paper: Paper
    pages: tuple[tuple[str, Page], ...]

    def paint(self, painter: QPainter, page: int, dots_per_mm: float) -> None:
        """Paint a page on a device of so many dots per mm, from its paper's corner."""
        painter.save()
        painter.scale(dots_per_mm / DOTS, dots_per_mm / DOTS)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink = Ink(painter)
        subtitle, placed = self.pages[page]
        number = f"page {page + 1} of {len(self.pages)}"
        paint_head(ink, self.paper, self.imprint, subtitle, number)
        for placed_block in placed:
            placed_block.block.paint(ink, placed_block.top)
        paint_foot(ink, self.paper, self.imprint)
        painter.restore()


def setup_sheet(
    studies: Sequence[Study[Any]],
    paper: Paper = A4,
    today: date | None = None,
    source: str = "",
    decimal: str = ".",
    extras: Collection[Extra] = EXTRAS,
) -> SetupSheet:
    """Lay out the systems with work, or all; `source` is the name of the setup's file.

    `extras` are the pages that follow where the work calls for them.
    """
    subject = with_work(studies)
    imprint = imprint_of(subject.setup, today, source, decimal)
    return SetupSheet(imprint, paper, tuple(_pages(subject, paper, decimal, extras)))


def _pages(
    subject: Subject, paper: Paper, decimal: str, extras: Collection[Extra]
) -> Iterator[tuple[str, Page]]:
    """Yield the pages of each section; a section begins a page."""
    top, bottom = BODY, paper.height - FOOT
    room = bottom - top
    sections = (
        ("Work order", work_order(subject, paper, decimal)),
        *(
            section
            for study in subject.studies
            for section in _sections_of(study)(study, subject, paper, room, decimal)
        ),
        *extra_sections(subject, paper, room, decimal, extras),
    )
    for name, blocks in sections:
        for index, page in enumerate(flow(blocks, top, bottom)):
            more = ", continued" if index else ""
            yield f"{name}{more}", page


def _front_sections(
    study: Study[FrontAnswers], subject: Subject, paper: Paper, room: float, decimal: str
) -> Iterator[tuple[str, list[Block]]]:
    table = point_table(study, paper, decimal)
    notes = note_blocks(study.setup, paper, "front." if subject.has_several else "")
    views = views_block(study, paper, room, height_of(table), decimal)
    curves, missing = _curves(study, paper, decimal), missing_blocks(study, paper)
    drawing, last = [*views, *table], [*curves, *notes, *missing]
    if height_of(drawing) > room:  # the views fill their page: the table opens the next
        drawing, last = views, [*table, *last]
    elif height_of(last) > room and height_of([*drawing, *notes]) <= room:
        drawing, last = [*drawing, *notes], [*curves, *missing]  # no page for the notes alone
    yield f"{TITLE} · drawing{' and points' if drawing is not views else ''}", drawing
    yield f"{TITLE} · {'points, ' if drawing is views else ''}curves, results", last


def _plain_sections(
    study: Study[Any], subject: Subject, paper: Paper, room: float, decimal: str
) -> Iterator[tuple[str, list[Block]]]:
    """Yield the section of a system that has no pages of its own."""
    tables = [*point_table(study, paper, decimal), *_curves(study, paper, decimal)]
    yield f"{study.system.title} · points, curves, results", tables


def _curves(study: Study[Any], paper: Paper, decimal: str) -> list[Block]:
    return [
        heading("Curves", paper.margin),
        legend(study.changed, paper, study.setup.units),
        curve_block(study, paper, decimal),
        *result_blocks(study, paper, decimal),
        *limit_blocks(study, paper, decimal),
    ]


Sections = Callable[[Study[Any], Subject, Paper, float, str], Iterator[Section]]

SECTIONS: Final[dict[str, Sections]] = {"front": _front_sections, "rear": rear_sections}
"""The sections of systems that have pages of their own."""


def _sections_of(study: Study[Any]) -> Sections:
    return SECTIONS.get(study.system.key, _plain_sections)
