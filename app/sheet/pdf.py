"""The setup sheet as a PDF file."""

from __future__ import annotations

import os
from collections.abc import Collection, Sequence
from datetime import date
from pathlib import Path
from typing import Any, Final

from PySide6.QtCore import QBuffer, QIODevice
from PySide6.QtGui import QGuiApplication, QPainter, QPdfWriter

from app import VERSION
from app.document.atomic import write_whole
from app.document.plain_text import one_line
from app.document.quantities import INCH
from app.paper.sizes import PAPERS, PaperName
from app.paper.spaces import with_plain_spaces
from app.sheet.pages import SetupSheet, setup_sheet
from app.shop.extras import EXTRAS, Extra
from app.shop.subject import Ends
from app.systems.answers import Study

DPI: Final = 1200
_kept: list[QGuiApplication] = []


def write_sheet(
    studies: Sequence[Study[Any]],
    path: str | os.PathLike[str],
    paper: PaperName = "a4",
    *,
    today: date | None = None,
    source: str = "",
    decimal: str = ".",
    ends: Ends = "work",
    extras: Collection[Extra] = EXTRAS,
) -> None:
    """Write the sheet of the ends that are asked for, whole or not at all.

    `source` is the setup's file name, `extras` the pages that may follow.

    Raises
    ------
    OSError
        The file can't be written; what was there is as it was.
    """
    needs_application()
    sheet = setup_sheet(studies, PAPERS[paper], today, source, decimal, ends, extras)
    write_whole(Path(path), pdf_of(sheet))


def pdf_of(sheet: SetupSheet, what: str = "setup sheet") -> bytes:
    """Return the bytes of the PDF; its properties say what it is."""
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(DPI)
    writer.setPageLayout(sheet.paper.layout())
    imprint = sheet.imprint
    title = ", ".join(filter(None, (imprint.title, what, imprint.revision)))
    writer.setTitle(one_line(title))
    writer.setAuthor(one_line(imprint.author))
    writer.setCreator(f"Wishboard {VERSION}")
    with QPainter(writer) as painter:
        for page in range(len(sheet.pages)):
            if page:
                writer.newPage()
            sheet.paint(painter, page, DPI / INCH)
    return with_plain_spaces(bytes(buffer.data().data()))


def needs_application() -> None:
    """Make sure that there are fonts: without a window, Qt draws off screen."""
    if QGuiApplication.instance() is None:
        _kept.append(QGuiApplication(["wishboard", "-platform", "offscreen"]))
