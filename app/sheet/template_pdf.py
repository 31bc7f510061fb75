"""Drill templates as a PDF of their own."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from pathlib import Path

from app.document.atomic import write_whole
from app.document.model import Setup
from app.paper.flow import Page, flow
from app.paper.sizes import PAPERS, PaperName
from app.sheet.heads import BODY, FOOT, imprint_of
from app.sheet.pages import SetupSheet
from app.sheet.pdf import needs_application, pdf_of
from app.sheet.template_page import Section, template_sections
from app.shop.template import Template


def write_templates(
    setup: Setup,
    templates: Sequence[Template],
    path: str | os.PathLike[str],
    paper: PaperName = "a4",
    *,
    today: date | None = None,
    source: str = "",
    decimal: str = ".",
) -> None:
    """Write templates of a setup at full size, whole or not at all.

    `source` is the setup's file name.

    Raises
    ------
    OSError
        The file can't be written; what was there is as it was.
    """
    needs_application()
    size = PAPERS[paper]
    room = size.height - FOOT - BODY
    sections = template_sections(templates, setup.units, size, room, decimal)
    imprint = imprint_of(setup, today, source, decimal)
    sheet = SetupSheet(imprint, size, tuple(_pages(sections, room)))
    write_whole(Path(path), pdf_of(sheet, "drill template"))


def _pages(sections: Iterable[Section], room: float) -> Iterator[tuple[str, Page]]:
    for name, blocks in sections:
        for page in flow(blocks, BODY, BODY + room):
            yield name, page
