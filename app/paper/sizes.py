"""Sizes of paper, and the part of a page that common printers reach."""

from __future__ import annotations

from typing import Final, Literal

from PySide6.QtCore import QLocale, QMarginsF, QSettings
from PySide6.QtGui import QPageLayout, QPageSize

from geometry.dataclass import dataclass

PaperName = Literal["a4", "letter"]

# Letter where it is the custom (common practice, no source); A4 everywhere else.
LETTER_TERRITORIES: Final = frozenset(
    {"US", "CA", "MX", "CL", "CO", "CR", "GT", "NI", "PA", "PH", "PR", "SV", "VE", "BZ", "DO"}
)
SETTING: Final = "sheet/paper"


@dataclass(frozen=True)
class Paper:
    """A size of paper, upright [mm]."""

    name: PaperName
    title: str
    width: float
    height: float
    size: QPageSize.PageSizeId
    margin: float = 14.0

    @property
    def inner(self) -> float:
        """The width between the margins [mm]."""
        return self.width - 2 * self.margin

    @property
    def right(self) -> float:
        """The right margin's place [mm]."""
        return self.width - self.margin

    def layout(self) -> QPageLayout:
        """Return the page for Qt: upright, without margins, in mm."""
        none = QMarginsF(0, 0, 0, 0)
        upright, unit = QPageLayout.Orientation.Portrait, QPageLayout.Unit.Millimeter
        return QPageLayout(QPageSize(self.size), upright, none, unit)


A4: Final = Paper("a4", "A4", 210.0, 297.0, QPageSize.PageSizeId.A4)
LETTER: Final = Paper("letter", "Letter", 215.9, 279.4, QPageSize.PageSizeId.Letter)
PAPERS: Final[dict[str, Paper]] = {"a4": A4, "letter": LETTER}


def usual_paper() -> Paper:
    """Return the paper the user chose last, else the custom of the territory."""
    chosen = PAPERS.get(str(QSettings().value(SETTING, "", str)))
    if chosen is not None:
        return chosen
    territory = QLocale.territoryToCode(QLocale.system().territory())
    return LETTER if territory in LETTER_TERRITORIES else A4


def remember_paper(paper: Paper) -> None:
    """Keep the user's choice of paper."""
    QSettings().setValue(SETTING, paper.name)


def paper_of(layout: QPageLayout) -> Paper | None:
    """Return the paper of a page layout, None for any other size."""
    return next((p for p in PAPERS.values() if layout.pageSize().id() == p.size), None)
