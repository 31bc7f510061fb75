"""The print dialog with a preview of the sheet."""

from __future__ import annotations

from datetime import date

from PySide6.QtGui import QPainter
from PySide6.QtPrintSupport import QPrinter, QPrintPreviewDialog
from PySide6.QtWidgets import QWidget

from app import VERSION
from app.paper.sizes import paper_of, remember_paper, usual_paper
from app.sheet.pages import setup_sheet
from app.systems.front.study import Study
from app.systems.rear.study import RearStudy


def open_preview(
    parent: QWidget | None,
    study: Study | None,
    *,
    rear: RearStudy | None = None,
    today: date | None = None,
    source: str = "",
    decimal: str = ".",
) -> QPrintPreviewDialog:
    """Open the preview; from it the sheet goes to a printer, on the paper chosen there."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setFullPage(True)
    printer.setPageLayout(usual_paper().layout())
    printer.setDocName(f"{_title(study, rear) or 'Setup'}, setup sheet")
    printer.setCreator(f"Wishboard {VERSION}")
    dialog = _Preview(printer, parent, study, rear, today, source, decimal)
    dialog.open()
    return dialog


def _title(study: Study | None, rear: RearStudy | None) -> str:
    known = study or rear
    return "" if known is None else known.setup.title


class _Preview(QPrintPreviewDialog):
    """A preview that owns its printer and lays the sheet out anew for each paper."""

    def __init__(
        self,
        printer: QPrinter,
        parent: QWidget | None,
        study: Study | None,
        rear: RearStudy | None,
        today: date | None,
        source: str,
        decimal: str,
    ) -> None:
        super().__init__(printer, parent)
        self.setWindowTitle("Print the setup sheet: at 100 %, “actual size”")
        self.resize(900, 1000)
        self._printer = printer
        self._study, self._rear, self._today = study, rear, today
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
            self._study, paper, self._today, self._source, self._decimal, self._rear
        )
        with QPainter(printer) as painter:
            for page in range(len(sheet.pages)):
                if page:
                    printer.newPage()
                sheet.paint(painter, page, printer.resolution() / 25.4)
