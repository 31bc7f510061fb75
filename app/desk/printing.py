"""The setup sheet from the window: as a file and on the printer."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QLocale, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QWidget

from app.desk.menu_choices import PDF, sheet_covers
from app.document.atomic import reason
from app.document.plain_text import one_line
from app.filing.filing import Filing
from app.session.session import Session
from app.systems.answers import Study
from app.words.errors import geometry_words
from geometry.errors import GeometryError

if TYPE_CHECKING:
    from app.shop.template import Template

TEMPLATES: Final = "PDF (*.pdf);;DXF drawing (*.dxf)"


def save_sheet(session: Session, filing: Filing, today: date) -> Path | None:
    """Ask for a file and write the sheet to it; then offer it to the system's viewer."""
    filing.let_go()
    path = filing.asker.file_to_save("Setup sheet", filing.suggestion("sheet", ".pdf"), PDF)
    studies = studies_for_paper(session, filing) if path is not None else None
    if path is None or studies is None:
        return None
    from app.paper.sizes import usual_paper
    from app.sheet.extra_pages import chosen_extras
    from app.sheet.pdf import write_sheet

    try:
        write_sheet(
            studies,
            path,
            usual_paper().name,
            today=today,
            source=source_name(session),
            decimal=QLocale().decimalPoint(),
            ends=sheet_covers(),
            extras=chosen_extras(),
        )
    except OSError as error:
        filing.asker.tell("Not written", f"{path.name} could not be written: {reason(error)}.")
        return None
    session.said.emit(f"The setup sheet is in {one_line(path.name)}.")
    QDesktopServices.openUrl(QUrl.fromLocalFile(str(path)))
    return path


def save_template(session: Session, filing: Filing, today: date) -> Path | None:
    """Ask for a file and write the drill templates to it, by its ending as PDF or as DXF."""
    from app.shop.stops import stopped_ends
    from app.shop.template import templates, within_told
    from app.words.templates import no_holes, stopped

    filing.let_go()
    studies = studies_for_paper(session, filing)
    if studies is None:  # holes of a car that can't be built aren't drilled
        return None
    setup = session.setup
    drilled = within_told(templates(setup), studies)
    if not drilled:
        filing.asker.tell("Nothing to drill", no_holes(one_line(setup.title) or "This car"))
        return None
    ends = stopped_ends(setup) & {template.end for template in drilled}
    if ends:
        filing.asker.tell("Not to be drilled", stopped(one_line(setup.title) or "This car", ends))
        return None
    path = filing.asker.file_to_save(
        "Drill template", filing.suggestion("template", ".pdf"), TEMPLATES
    )
    if path is None:
        return None
    try:
        _write_templates(session, drilled, path, today)
    except OSError as error:
        filing.asker.tell("Not written", f"{path.name} could not be written: {reason(error)}.")
        return None
    count = len(drilled)
    what = "One drill template is" if count == 1 else f"{count} drill templates are"
    session.said.emit(f"{what} in {one_line(path.name)}.")
    QDesktopServices.openUrl(QUrl.fromLocalFile(str(path)))
    return path


def _write_templates(
    session: Session, drilled: Sequence[Template], path: Path, today: date
) -> None:
    decimal = QLocale().decimalPoint()
    if path.suffix.lower() == ".dxf":
        from app.shop.template_dxf import write_dxf

        write_dxf(session.setup, drilled, path, decimal)
        return
    from app.paper.sizes import usual_paper
    from app.sheet.template_pdf import write_templates

    write_templates(
        session.setup,
        drilled,
        path,
        usual_paper().name,
        today=today,
        source=source_name(session),
        decimal=decimal,
    )


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
        ends=sheet_covers(),
    )


def studies_for_paper(session: Session, filing: Filing) -> tuple[Study[Any], ...] | None:
    """Return the studies of all that the setup gives, or say why there are none."""
    try:
        return session.studies()
    except GeometryError as error:
        words = geometry_words(
            error, session.units, QLocale().decimalPoint(), session.setup.evidence
        )
        filing.asker.tell("An impossible geometry can't be put on paper", words)
        return None


def source_name(session: Session) -> str:
    """Return the name of the setup's file, empty where it has none."""
    return session.path.name if session.path else ""
