"""The print dialog with a preview of the sheet."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from PySide6.QtGui import QPainter
from PySide6.QtPrintSupport import QPrinter, QPrintPreviewDialog
from PySide6.QtWidgets import QWidget

from app import VERSION
from app.document.quantities import INCH
from app.paper.sizes import paper_of, remember_paper, usual_paper
from app.sheet.extra_pages import chosen_extras
from app.sheet.pages import setup_sheet
from app.systems.answers import Study


def open_preview(
    parent: QWidget | None,
    studies: Sequence[Study[Any]],
    *,
    today: date | None = None,
    source: str = "",
    decimal: str = ".",
) -> QPrintPreviewDialog:
    """Open the preview; from it the sheet goes to a printer, on the paper chosen there."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setFullPage(True)
    printer.setPageLayout(usual_paper().layout())
    printer.setDocName(f"{studies[0].setup.title or 'Setup'}, setup sheet")
    printer.setCreator(f"Wishboard {VERSION}")
    dialog = _Preview(printer, parent, studies, today, source, decimal)
    dialog.open()
    return dialog


class _Preview(QPrintPreviewDialog):
    """A preview that owns its printer and lays the sheet out anew for each paper."""

    def __init__(
        self,
        printer: QPrinter,
        parent: QWidget | None,
        studies: Sequence[Study[Any]],
        today: date | None,
        source: str,
        decimal: str,
    ) -> None:
        super().__init__(printer, parent)
        self.setWindowTitle("Print the setup sheet: at 100 %, “actual size”")
        self.resize(900, 1000)
        self._printer = printer
        self._studies, self._today = studies, today
        self._source, self._decimal = source, decimal
        self.paintRequested.connect(self.paint_sheet)

    def paint_sheet(self, printer: QPrinter) -> None:
        """Paint every page; asked again whenever the page set-up changes."""
        printer.setFullPage(True)
        paper = paper_of(printer.pageLayout())
        if paper is None:  # some other size: lay out for the usual one, from the top left corner
            paper = usual_paper()
        else:
            remember_paper(paper)
        sheet = setup_sheet(
            self._studies, paper, self._today, self._source, self._decimal, chosen_extras()
        )
        with QPainter(printer) as painter:
            for page in range(len(sheet.pages)):
                if page:
                    printer.newPage()
                sheet.paint(painter, page, printer.resolution() / INCH)
