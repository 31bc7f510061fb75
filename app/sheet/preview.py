"""The print dialog with a preview of the sheet."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import Any, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence, QPageLayout, QPainter
from PySide6.QtPrintSupport import QPrinter, QPrintPreviewDialog
from PySide6.QtWidgets import QLabel, QToolButton, QWidget

from app import VERSION
from app.document.quantities import INCH
from app.paper.sizes import Paper, paper_of, remember_paper, usual_paper
from app.sheet.extra_pages import chosen_extras
from app.sheet.pages import SetupSheet, setup_sheet
from app.shop.subject import Ends
from app.systems.answers import Study

KEYS: Final = {"Print": QKeySequence("Ctrl+P"), "Page setup": QKeySequence("Ctrl+Shift+P")}
UPRIGHT: Final = "Landscape"
FITS: Final = 0.999  # a page is as large as the sheet's from here on: rounding to points


def open_preview(
    parent: QWidget | None,
    studies: Sequence[Study[Any]],
    *,
    today: date | None = None,
    source: str = "",
    decimal: str = ".",
    ends: Ends = "work",
) -> QPrintPreviewDialog:
    """Open the preview; from it the sheet goes to a printer, on the paper chosen there."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setFullPage(True)
    printer.setPageLayout(usual_paper().layout())
    printer.setDocName(f"{studies[0].setup.title or 'Setup'}, setup sheet")
    printer.setCreator(f"Wishboard {VERSION}")

    def sheet_on(paper: Paper) -> SetupSheet:
        return setup_sheet(studies, paper, today, source, decimal, ends, chosen_extras())

    dialog = _Preview(printer, parent, sheet_on)
    dialog.open()
    return dialog


class _Preview(QPrintPreviewDialog):
    """A preview that owns its printer and lays the sheet out anew for each paper."""

    def __init__(
        self, printer: QPrinter, parent: QWidget | None, sheet_on: Callable[[Paper], SetupSheet]
    ) -> None:
        super().__init__(printer, parent)
        self.setWindowTitle("Print the setup sheet: at 100 %, “actual size”")
        self.resize(900, 1000)
        self._printer = printer
        self._sheet_on = sheet_on
        self.remark = QLabel(self)
        self.remark.setWordWrap(True)
        self.remark.setMargin(8)
        self.remark.setAccessibleName("About the paper")
        self.remark.hide()
        layout = self.layout()
        if layout is not None:
            layout.addWidget(self.remark)
        self._reach_by_keyboard()
        self.paintRequested.connect(self.paint_sheet)

    def _reach_by_keyboard(self) -> None:
        """Let Tab reach every button, give the two that matter keys, and keep the sheet upright."""
        for button in self.findChildren(QToolButton):
            if button.defaultAction() is not None:
                button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        for action in self.findChildren(QAction):
            key = KEYS.get(action.text())
            if key is not None:
                action.setShortcut(key)
                action.setToolTip(f"{action.text()} ({key.toString()})")
                self.addAction(action)
            if action.text() == UPRIGHT:
                action.setVisible(False)

    def paint_sheet(self, printer: QPrinter) -> None:
        """Paint the pages asked for; asked again whenever the page set-up changes."""
        printer.setFullPage(True)
        layout = printer.pageLayout()
        paper = paper_of(layout)
        if paper is not None:
            remember_paper(paper)
        sheet = self._sheet_on(paper or usual_paper())
        share = share_that_fits(sheet.paper, layout)
        pages = pages_asked_for(printer, len(sheet.pages))
        self._tell(sheet, layout, share, pages)
        if not pages:
            return
        with QPainter(printer) as painter:
            for index, page in enumerate(pages):
                if index:
                    printer.newPage()
                sheet.paint(painter, page, share * printer.resolution() / INCH, reduced_to(share))

    def _tell(
        self, sheet: SetupSheet, layout: QPageLayout, share: float, pages: Sequence[int]
    ) -> None:
        """Say what isn't as it should be, above the pages; nothing where all is well."""
        words = []
        if share < 1.0:
            size = layout.pageSize().name()
            if layout.orientation() is QPageLayout.Orientation.Landscape:
                size += ", lying,"
            words.append(
                f"The sheet is made for A4 and Letter, upright. On {size} it is reduced to "
                f"{100 * share:.0f} %: nothing is cut, but its scales don't hold."
            )
        if not pages:
            words.append(f"There are {len(sheet.pages)} pages, and none of those asked for.")
        self.remark.setText(" ".join(words))
        self.remark.setVisible(bool(words))


def share_that_fits(paper: Paper, layout: QPageLayout) -> float:
    """Return by how much a sheet is made smaller so that a page holds all of it, 1 for not."""
    page = layout.fullRect(QPageLayout.Unit.Millimeter)
    share = min(page.width() / paper.width, page.height() / paper.height)
    return 1.0 if share >= FITS else share


def reduced_to(share: float) -> str:
    """Return what a reduced page says of itself; nothing at full size."""
    return "" if share == 1.0 else f"Reduced to {100 * share:.0f} %: the scales don't hold"


def pages_asked_for(printer: QPrinter, count: int) -> list[int]:
    """Return the pages to print of so many, counted from 0: all where no range was given."""
    ranges = printer.pageRanges()
    return [page for page in range(count) if ranges.isEmpty() or ranges.contains(page + 1)]
