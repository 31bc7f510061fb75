"""The setup sheet as a PDF, drawn without a screen."""

from __future__ import annotations

import os
from collections.abc import Collection, Sequence
from datetime import date
from pathlib import Path

from app.cli.arguments import Paper
from app.cli.refused import Refused
from app.document.atomic import reason
from app.document.ends import ENDS
from app.document.model import Setup
from app.judge.banded import with_bands
from app.qt.system_check import display_available, explain, missing_libraries
from app.shop.extras import EXTRAS, Extra
from app.shop.subject import Ends, subject_of
from app.systems.report import Report


def covered_ends(axle: str | None) -> Ends:
    """Return what a sheet covers by what was asked for: the ends with work where nothing was."""
    named: dict[str | None, Ends] = {"both": "all", **{end: end for end in ENDS}}
    return named.get(axle, "work")


def chosen_extras(wanted: Collection[Extra], without: Collection[Extra]) -> tuple[Extra, ...]:
    """Return the pages that may follow: the usual ones and those asked for, none left out."""
    return tuple(each for each in (*wanted, *EXTRAS) if each not in without)


def write_sheet_file(
    ends: Sequence[Report],
    path: Path,
    paper: Paper,
    source: str,
    covers: Ends = "work",
    extras: Collection[Extra] = EXTRAS,
) -> None:
    """Write the sheet of what it covers, or refuse with what is missing or can't be written.

    `source` is the name of the setup's file, `extras` are the pages that may follow.
    """
    given = [end.study.system.key for end in ends]
    if covers not in ("work", "all", *given):
        raise Refused(f"{source} gives no {covers} suspension.")
    if "proposals" in extras and not ends[0].study.setup.together:
        raise Refused(
            f"{source} names no proposals to lay side by side. Name them under [[together]], or in "
            "the window by View, Proposals side by side."
        )
    prepare(path)
    if "proposals" in extras:
        _know_proposals(ends[0].study.setup)
    from app.sheet.pdf import write_sheet

    covered = {
        study.system.key for study in subject_of([end.study for end in ends], covers).studies
    }
    studies = [
        with_bands(end.study) if end.study.system.key in covered else end.study for end in ends
    ]
    try:
        write_sheet(
            studies, path, paper, today=date.today(), source=source, ends=covers, extras=extras
        )
    except OSError as error:
        raise Refused(f"{path} can't be written: {reason(error)}.") from None


def _know_proposals(setup: Setup) -> None:
    """Work out how far the figures on the owner's page may be off, before it is painted."""
    from app.judge.compare import comparison
    from app.judge.compare_bands import banded
    from app.judge.known_comparison import remember
    from app.shop.proposals import compared_setup

    whole = compared_setup(setup)
    if whole is not None:
        remember(banded(comparison(whole, ()), which=lambda row: row.is_first))


def prepare(path: Path) -> None:
    """Make painting without a screen possible, or refuse a file that can't be painted."""
    advice = explain(missing_libraries(window=False))
    if advice:
        raise Refused(advice)
    refuse_unwritable(path)
    if not display_available():
        os.environ["QT_QPA_PLATFORM"] = "offscreen"


def refuse_unwritable(path: Path) -> None:
    """Refuse a name that no file can have here."""
    if path.is_dir():
        raise Refused(f"{path} can't be written: there is a folder of this name.")
    if not path.parent.is_dir():
        raise Refused(f"{path} can't be written: the folder is not there.")
