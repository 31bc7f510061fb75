"""What the menus offer of paper, files and clipboard; what does it loads when it is chosen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from PySide6.QtCore import QSettings

from app.document.ends import ENDS

if TYPE_CHECKING:
    from app.shop.subject import Ends

COVERS: Final = "sheet/covers"
COVERAGE: Final[dict[Ends, str]] = {
    "work": "Where there is &work",
    **{end: f"The &{end}" for end in ENDS},
    "all": "&Both ends",
}
"""What the sheet can cover, in the words of the menu."""


def sheet_covers() -> Ends:
    """Return which ends the user wants on the sheet."""
    chosen = str(QSettings().value(COVERS, "work", str))
    return next((ends for ends in COVERAGE if ends == chosen), "work")


def cover(ends: Ends) -> None:
    """Keep which ends the sheet covers."""
    QSettings().setValue(COVERS, ends)


class Kind(NamedTuple):
    """What can be exported: words of the menu, kinds of file, usual ending."""

    words: str
    files: str
    ending: str


PDF: Final = "PDF (*.pdf)"
PICTURES: Final = f"PNG picture (*.png);;SVG drawing (*.svg);;{PDF}"
TABLES: Final = "Table (*.csv)"
EXPORTS: Final = {
    "drawing": Kind("&Drawing, all views…", PICTURES, ".png"),
    "front-view": Kind("Drawing, &front view…", PICTURES, ".png"),
    "side-view": Kind("Drawing, &side view…", PICTURES, ".png"),
    "top-view": Kind("Drawing, &top view…", PICTURES, ".png"),
    "curves": Kind("&Curves…", PICTURES, ".png"),
    "points": Kind("&Points as a table…", TABLES, ".csv"),
    "results": Kind("&Results as a table…", TABLES, ".csv"),
    "curve-table": Kind("Curves as a t&able…", TABLES, ".csv"),
}
COPIES: Final = {
    "drawing": "&Drawing as a picture",
    "curves": "&Curves as a picture",
    "points": "&Points as a table",
    "results": "&Results as a table",
    "curve-table": "Curves as a t&able",
}
