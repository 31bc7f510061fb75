"""The setup sheet from the window: as a file and on the printer."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any, Final

from PySide6.QtCore import QLocale, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QWidget

from app.document.atomic import reason
from app.document.plain_text import one_line
from app.filing.filing import Filing
from app.session.session import Session
from app.systems.answers import Study
from app.words.errors import geometry_words
from geometry.errors import GeometryError

PDF: Final = "PDF (*.pdf)"


def save_sheet(session: Session, filing: Filing, today: date) -> Path | None:
    """Ask for a file and write the sheet to it; then offer it to the system's viewer."""
    filing.let_go()
    path = filing.asker.file_to_save("Setup sheet", filing.suggestion("sheet", ".pdf"), PDF)
    studies = studies_for_paper(session, filing) if path is not None else None
    if path is None or studies is None:
        return None
    from app.paper.sizes import usual_paper
    from app.sheet.pdf import write_sheet

    try:
        write_sheet(
            studies,
            path,
            usual_paper().name,
            today=today,
            source=source_name(session),
            decimal=QLocale().decimalPoint(),
        )
    except OSError as error:
        filing.asker.tell("Not written", f"{path.name} could not be written: {reason(error)}.")
        return None
    session.said.emit(f"The setup sheet is in {one_line(path.name)}.")
    QDesktopServices.openUrl(QUrl.fromLocalFile(str(path)))
    return path


def print_sheet(session: Session, filing: Filing, parent: QWidget, today: date) -> QWidget | None:
    """Open the preview, from which the sheet goes to a printer."""
    filing.let_go()
    studies = studies_for_paper(session, filing)
    if studies is None:
        return None
    from app.sheet.preview import open_preview

    return open_preview(
        parent,
        studies,
        today=today,
        source=source_name(session),
        decimal=QLocale().decimalPoint(),
    )


def studies_for_paper(session: Session, filing: Filing) -> tuple[Study[Any], ...] | None:
    """Return the studies of all that the setup gives, or say why there are none."""
    try:
        return session.studies()
    except GeometryError as error:
        words = geometry_words(error, session.units, QLocale().decimalPoint())
        filing.asker.tell("An impossible geometry can't be put on paper", words)
        return None


def source_name(session: Session) -> str:
    """Return the name of the setup's file, empty where it has none."""
    return session.path.name if session.path else ""
