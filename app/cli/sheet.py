"""The setup sheet as a PDF, drawn without a screen."""

from __future__ import annotations

import os
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from app.cli.arguments import Paper
from app.cli.refused import Refused
from app.document.atomic import reason
from app.qt.system_check import display_available, explain, missing_libraries
from app.systems.report import Report


def write_sheet_file(ends: Sequence[Report], path: Path, paper: Paper, source: str) -> None:
    """Write the sheet, or refuse with what is missing or can't be written.

    `source` is the name of the setup's file.
    """
    prepare(path)
    from app.sheet.pdf import write_sheet

    try:
        write_sheet([end.study for end in ends], path, paper, today=date.today(), source=source)
    except OSError as error:
        raise Refused(f"{path} can't be written: {reason(error)}.") from None


def prepare(path: Path) -> None:
    """Make painting without a screen possible, or refuse a file that can't be painted."""
    advice = explain(missing_libraries(window=False))
    if advice:
        raise Refused(advice)
    if path.is_dir():
        raise Refused(f"{path} can't be written: there is a folder of this name.")
    if not path.parent.is_dir():
        raise Refused(f"{path} can't be written: the folder is not there.")
    if not display_available():
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
