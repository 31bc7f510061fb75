"""The setup sheet, page by page; painted alike on a PDF, on a printer and in the preview."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from PySide6.QtGui import QPainter

from app.paper.faces import DOTS
from app.paper.flow import Block, Page, flow, height_of
from app.paper.ink import Ink
from app.paper.parts import heading
from app.paper.sizes import A4, Paper
from app.sheet.heads import BODY, FOOT, Imprint, imprint_of, paint_foot, paint_head
from app.sheet.plots import curve_block, legend
from app.sheet.point_table import point_table
from app.sheet.rear_pages import rear_sections
from app.sheet.result_table import limit_blocks, missing_blocks, note_blocks, result_blocks
from app.sheet.views_page import views_block
from app.sheet.work_order import work_order
from app.shop.subject import Subject
from app.systems.front.study import Study, complete
from app.systems.rear.study import RearStudy

FRONT: Final = "Front suspension"


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
        for each in placed:
            each.block.paint(ink, each.top)
        paint_foot(ink, self.paper, self.imprint)
        painter.restore()


def setup_sheet(
    study: Study | None,
    paper: Paper = A4,
    today: date | None = None,
    source: str = "",
    decimal: str = ".",
    rear: RearStudy | None = None,
) -> SetupSheet:
    """Lay out the end with the work, or both; `source` is the name of the setup's file."""
    front, rear = with_work(study, rear)
    subject = Subject(None if front is None else complete(front), rear)
    imprint = imprint_of(subject.setup, today, source, decimal)
    return SetupSheet(imprint, paper, tuple(_pages(subject, paper, decimal)))


def with_work(front: Study | None, rear: RearStudy | None) -> tuple[Study | None, RearStudy | None]:
    """Return the ends that the shop has work at; both where it has none or at both.

    Pages about an end that stays as it is would only bury the ones to work from.
    """
    if front is None or rear is None or front.changed == rear.changed:
        return front, rear
    return (front, None) if front.changed else (None, rear)


def _pages(subject: Subject, paper: Paper, decimal: str) -> Iterator[tuple[str, Page]]:
    """Yield the pages of each section; a section begins a page."""
    top, bottom = BODY, paper.height - FOOT
    room = bottom - top
    sections = (
        ("Work order", work_order(subject, paper, decimal)),
        *_front_sections(subject, paper, room, decimal),
        *rear_sections(subject, paper, room, decimal),
    )
    for name, blocks in sections:
        for index, page in enumerate(flow(blocks, top, bottom)):
            more = ", continued" if index else ""
            yield f"{name}{more}", page


def _front_sections(
    subject: Subject, paper: Paper, room: float, decimal: str
) -> Iterator[tuple[str, list[Block]]]:
    study = subject.front
    if study is None:
        return
    table = point_table(study, paper, decimal)
    notes = note_blocks(study.setup, paper, "" if subject.rear is None else "front.")
    views = views_block(study, paper, room, height_of(table), decimal)
    curves, missing = _curves(study, paper, decimal), missing_blocks(study, paper)
    drawing, last = [*views, *table], [*curves, *notes, *missing]
    if height_of(drawing) > room:  # the views fill their page: the table opens the next
        drawing, last = views, [*table, *last]
    elif height_of(last) > room and height_of([*drawing, *notes]) <= room:
        drawing, last = [*drawing, *notes], [*curves, *missing]  # no page for the notes alone
    yield f"{FRONT} · drawing{' and points' if drawing is not views else ''}", drawing
    yield f"{FRONT} · {'points, ' if drawing is views else ''}curves, results", last


def _curves(study: Study, paper: Paper, decimal: str) -> list[Block]:
    return [
        heading("Curves", paper.margin),
        legend(study.changed, paper, study.setup.units),
        curve_block(study, paper, decimal),
        *result_blocks(study, paper, decimal),
        *limit_blocks(study, paper, decimal),
    ]
