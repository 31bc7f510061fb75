"""Drawing, curves and tables from the window: to a file, and to the clipboard."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QLocale
from PySide6.QtGui import QGuiApplication

from app.desk.menu_choices import COPIES, EXPORTS, TABLES
from app.desk.printing import source_name, studies_for_paper
from app.document.atomic import reason
from app.document.plain_text import one_line
from app.drawing.views import View
from app.filing.filing import Filing
from app.panels.curves.curves import CurvesPanel
from app.session.session import Session
from app.systems.answers import Study

if TYPE_CHECKING:
    from app.export.curves_leaf import CurveChoice
    from app.export.leaf import Imprint, Leaf, SecondCar
    from app.export.tables import Row


_VIEWS: Final = {"front-view": View.FRONT, "side-view": View.SIDE, "top-view": View.TOP}


def export(
    session: Session, filing: Filing, what: str, curves: CurvesPanel, today: date
) -> Path | None:
    """Ask for a file and write a drawing, curves or a table of the axle that is shown to it."""
    kind = EXPORTS[what]
    title = kind.words.replace("&", "").rstrip("…")
    study = _shown_study(session, filing)
    if study is None:
        return None
    path = filing.asker.file_to_save(title, filing.suggestion(what, kind.ending), kind.files)
    if path is None:
        return None
    from app.export.pictures import write_leaf
    from app.export.tables import write_table

    imprint = _imprint(session, today)
    try:
        if kind.files == TABLES:
            write_table(_table(session, study, what, curves, imprint), path, imprint.decimal)
        else:
            write_leaf(_leaf(session, study, what, curves, imprint), path)
    except OSError as error:
        filing.asker.tell("Not written", f"{path.name} could not be written: {reason(error)}.")
        return None
    session.said.emit(f"{title}: written to {one_line(path.name)}.")
    return path


def copy(session: Session, filing: Filing, what: str, curves: CurvesPanel, today: date) -> None:
    """Put a picture, or a table as text, of the axle that is shown on the clipboard."""
    study = _shown_study(session, filing)
    if study is None:
        return
    from app.export.pictures import image_of
    from app.export.tables import tabbed

    imprint, clipboard = _imprint(session, today), QGuiApplication.clipboard()
    if EXPORTS[what].files == TABLES:
        clipboard.setText(tabbed(_table(session, study, what, curves, imprint)))
    else:
        clipboard.setImage(image_of(_leaf(session, study, what, curves, imprint)))
    words = COPIES[what].replace("&", "")
    session.said.emit(f"{words}: on the clipboard.")


def _leaf(
    session: Session, study: Study[Any], what: str, curves: CurvesPanel, imprint: Imprint
) -> Leaf:
    from app.export.curves_leaf import curves_leaf
    from app.export.drawing_leaf import drawing_leaf

    if what == "curves":
        return curves_leaf(study, _choice(study, curves), imprint, _second(session))
    return drawing_leaf(study, _VIEWS.get(what), imprint, _second(session))


def _second(session: Session) -> SecondCar | None:
    """Return the second car that lies over the first, where it is seen."""
    from app.export.leaf import SecondCar

    second = session.second
    if second.seen is None or second.laid is None:
        return None
    source = source_name(session) if second.laid.proposal is not None else ""
    return SecondCar(second.seen, one_line(second.laid.name), source, not second.shows_first)


def _table(
    session: Session, study: Study[Any], what: str, curves: CurvesPanel, imprint: Imprint
) -> list[Row]:
    """Return a table under whose it is."""
    from app.export.tables import about, curves_table, points_table, results_table

    second = _second(session)
    if what == "points":
        rows = points_table(study, imprint.decimal, second)
    elif what == "results":
        rows = results_table(study, imprint.decimal, second)
    else:
        rows = curves_table(study, curves.driver, imprint.decimal, second)
    return [*about(study, what.replace("curve-table", "curves"), imprint, second), [], *rows]


def _choice(study: Study[Any], curves: CurvesPanel) -> CurveChoice:
    """Return the curves that the panel shows."""
    from app.export.curves_leaf import CurveChoice

    sheet, in_body = curves.sheet, curves.session.in_body
    if sheet is None:
        return CurveChoice(curves.driver, in_body=in_body)
    results = tuple(result for result in sheet.results if result in study.results)
    return CurveChoice(curves.driver, results, sheet.side, in_body)


def _imprint(session: Session, today: date) -> Imprint:
    from app.export.leaf import Imprint
    from app.paper.sizes import usual_paper

    return Imprint(usual_paper(), today, source_name(session), QLocale().decimalPoint())


def _shown_study(session: Session, filing: Filing) -> Study[Any] | None:
    """Return the study of the system that is shown, or say why there is none."""
    filing.let_go()
    studies = studies_for_paper(session, filing) or ()
    return next((study for study in studies if study.system is session.system), None)
