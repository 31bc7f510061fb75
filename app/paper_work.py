"""What leaves the window: the setup sheet as PDF and on paper, drawings, curves and tables."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QLocale, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QWidget

from app.document.atomic import reason
from app.filing import Filing
from app.session import Session
from app.study import Study
from geometry.errors import GeometryError

if TYPE_CHECKING:
    pass

PDF: Final = "PDF (*.pdf)"


def save_sheet(session: Session, filing: Filing, today: date) -> Path | None:
    """Ask for a file and write the sheet to it; then offer it to the system's viewer."""
    path = filing.asker.file_to_save("Setup sheet", filing.suggestion("sheet", ".pdf"), PDF)
    study = _whole_study(session, filing) if path is not None else None
    if path is None or study is None:
        return None
    from app.sheet.paper import usual_paper
    from app.sheet.pdf import write_sheet

    try:
        write_sheet(
            study,
            path,
            usual_paper().name,
            today=today,
            source=_source(session),
            decimal=QLocale().decimalPoint(),
        )
    except OSError as error:
        filing.asker.tell("Not written", f"{path.name} could not be written: {reason(error)}.")
        return None
    session.said.emit(f"The setup sheet is in {path.name}.")
    QDesktopServices.openUrl(QUrl.fromLocalFile(str(path)))
    return path


def print_sheet(session: Session, filing: Filing, parent: QWidget, today: date) -> QWidget | None:
    """Open the preview, from which the sheet goes to a printer."""
    study = _whole_study(session, filing)
    if study is None:
        return None
    from app.sheet.preview import open_preview

    return open_preview(
        parent,
        study,
        today=today,
        source=_source(session),
        decimal=QLocale().decimalPoint(),
    )


def _whole_study(session: Session, filing: Filing) -> Study | None:
    """Return the study that the sheet is of, or say why there is none."""
    try:
        return session.front_study()
    except GeometryError as error:
        filing.asker.tell("No sheet of an impossible geometry", str(error))
        return None


def _source(session: Session) -> str:
    return session.path.name if session.path else ""
