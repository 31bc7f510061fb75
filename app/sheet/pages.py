"""The setup sheet, page by page; painted alike on a PDF, on a printer and in the preview."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from datetime import date
from typing import Any, Final

from PySide6.QtGui import QPainter

from app.paper.faces import DOTS, STRONG
from app.paper.flow import Block, Page, flow, height_of
from app.paper.ink import THICK, WHITE, Ink
from app.paper.packing import Part, Section, packed, section_of
from app.paper.parts import banner
from app.paper.sizes import A4, Paper
from app.sheet.clearance_table import clearance_blocks
from app.sheet.extra_pages import drilled_ends, extra_sections
from app.sheet.heads import BODY, FOOT, TOP, Imprint, imprint_of, paint_foot, paint_head
from app.sheet.limits_table import limit_blocks
from app.sheet.notes import missing_blocks, note_blocks
from app.sheet.plots import curve_blocks
from app.sheet.point_table import point_table
from app.sheet.rear_pages import rear_section
from app.sheet.result_table import result_blocks
from app.sheet.template_page import TITLE as TEMPLATE
from app.sheet.views_page import views_block
from app.sheet.work_order import work_order
from app.shop.extras import EXTRAS, Extra
from app.shop.subject import Ends, Subject, subject_of
from app.systems.answers import Study
from app.systems.front.study import FrontAnswers
from geometry.dataclass import dataclass

TITLE: Final = "Front suspension"
STRUCK: Final = "Not full size: don't drill by this page. Print it on A4 or Letter at 100 %."


@dataclass(frozen=True)
class SetupSheet:
    """A laid-out sheet: its pages with their subtitles, ready to be painted any number of times."""

    imprint: Imprint
    paper: Paper
    pages: tuple[tuple[str, Page], ...]

    def paint(self, painter: QPainter, page: int, dots_per_mm: float, remark: str = "") -> None:
        """Paint a page on a device of so many dots per mm, from its paper's corner.

        A `remark` on how it is printed stands above its head.
        """
        painter.save()
        painter.scale(dots_per_mm / DOTS, dots_per_mm / DOTS)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(WHITE)  # a preview takes a first pen that is black for that of its window
        ink = Ink(painter)
        subtitle, placed = self.pages[page]
        number = f"page {page + 1} of {len(self.pages)}"
        paint_head(ink, self.paper, self.imprint, subtitle, number)
        for placed_block in placed:
            placed_block.block.paint(ink, placed_block.top)
        paint_foot(ink, self.paper, self.imprint)
        ink.write(self.paper.margin, TOP - 1.0, remark, STRONG)
        if remark and subtitle.startswith(TEMPLATE):
            self._strike(ink)
        painter.restore()

    def _strike(self, ink: Ink) -> None:
        """Strike a drill template through that isn't printed at full size."""
        left, right, bottom = self.paper.margin, self.paper.right, self.paper.height - FOOT
        middle = 0.5 * (BODY + bottom)
        ink.rule((left, BODY), (right, bottom), THICK)
        ink.rule((left, bottom), (right, BODY), THICK)
        ink.clear(left, middle - 6.0, self.paper.inner, 12.0)
        ink.box(left, middle - 6.0, self.paper.inner, 12.0, THICK)
        ink.write(0.5 * (left + right), middle + 1.6, STRUCK, STRONG, "centre", self.paper.inner)


def setup_sheet(
    studies: Sequence[Study[Any]],
    paper: Paper = A4,
    today: date | None = None,
    source: str = "",
    decimal: str = ".",
    ends: Ends = "work",
    extras: Collection[Extra] = EXTRAS,
) -> SetupSheet:
    """Lay out the ends that are asked for; `source` is the name of the setup's file.

    `extras` are the pages that follow where the work calls for them.
    """
    subject = subject_of(studies, ends)
    imprint = imprint_of(subject.setup, today, source, decimal)
    return SetupSheet(imprint, paper, tuple(_pages(subject, paper, decimal, extras)))


def _pages(
    subject: Subject, paper: Paper, decimal: str, extras: Collection[Extra]
) -> list[tuple[str, Page]]:
    """Return the pages with what their heads say."""
    top, bottom = BODY, paper.height - FOOT
    drilled = drilled_ends(subject) if "template" in extras else ()
    blocks = work_order(subject, paper, decimal, drilled)
    order = Section("Work order", (Part("", tuple(blocks)),), True)
    sections = (
        _sections_of(study, subject)(study, subject, paper, bottom - top, decimal)
        for study in subject.studies
    )

    def title(words: str) -> Block:
        return banner(words, paper.margin, paper.right)

    pages = packed([order, *sections], top, bottom, title)
    for name, extra_blocks in extra_sections(subject, paper, bottom - top, decimal, extras):
        for index, page in enumerate(flow(extra_blocks, top, bottom)):
            pages.append((f"{name}{', continued' if index else ''}", page))
    return pages


def _front_section(
    study: Study[FrontAnswers], subject: Subject, paper: Paper, room: float, decimal: str
) -> Section:
    table = point_table(study, paper, decimal)
    notes = note_blocks(study.setup, paper, "front." if subject.has_several else "")
    parts = {
        "drawing": views_block(study, paper, room, height_of(table), decimal),
        "points": table,
        **_curves(study, paper, decimal),
        "notes": notes,
        "what is missing": missing_blocks(study, paper),
    }
    return section_of(TITLE, parts)


def _plain_section(
    study: Study[Any], subject: Subject, paper: Paper, room: float, decimal: str
) -> Section:
    """Return the section of a system that has no pages of its own."""
    parts = {"points": point_table(study, paper, decimal), **_curves(study, paper, decimal)}
    return section_of(study.system.title, parts)


def _stopped_section(
    study: Study[Any], subject: Subject, paper: Paper, room: float, decimal: str
) -> Section:
    """Return the section of an end that can't be as proposed: what was found, and the moves."""
    key = study.system.key
    parts = {
        "points": point_table(study, paper, decimal, is_stopped=True),
        "results": result_blocks(study, paper, decimal, is_stopped=True),
        "limits": limit_blocks(study, paper, decimal, is_stopped=True)
        + clearance_blocks(study, paper, decimal, is_stopped=True),
        "notes": note_blocks(
            study.setup,
            paper,
            f"{key}." if subject.has_several else "",
            text=study is subject.studies[0],
        ),
    }
    return section_of(study.system.title, parts)


def _curves(study: Study[Any], paper: Paper, decimal: str) -> dict[str, list[Block]]:
    return {
        "curves": curve_blocks(study, paper, decimal),
        "results": result_blocks(study, paper, decimal),
        "limits": limit_blocks(study, paper, decimal) + clearance_blocks(study, paper, decimal),
    }


Sections = Callable[[Study[Any], Subject, Paper, float, str], Section]

SECTIONS: Final[dict[str, Sections]] = {"front": _front_section, "rear": rear_section}
"""The sections of systems that have pages of their own."""


def _sections_of(study: Study[Any], subject: Subject) -> Sections:
    if study.system.key in subject.stopped:
        return _stopped_section
    return SECTIONS.get(study.system.key, _plain_section)
