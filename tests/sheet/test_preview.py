"""The print dialog: the same pages on the paper of the country, or of the user's choice."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QLocale
from PySide6.QtGui import QPageSize
from PySide6.QtPrintSupport import QPrinter, QPrintPreviewWidget
from pytestqt.qtbot import QtBot

from app.paper.sizes import A4, LETTER, remember_paper, usual_paper
from app.sheet.extra_pages import choose_extra, chosen_extras
from app.sheet.preview import open_preview
from app.shop.extras import EXTRAS
from app.systems.front.system import FRONT
from tests.helpers.sheets import TODAY, sample

pytestmark = pytest.mark.gui


def test_the_preview_shows_every_page(qtbot: QtBot) -> None:
    dialog = open_preview(None, [FRONT.study(sample("small_saloon"))], today=TODAY)
    qtbot.addWidget(dialog)
    with qtbot.waitExposed(dialog):
        dialog.show()
    shown = dialog.findChild(QPrintPreviewWidget)
    assert shown is not None
    assert shown.pageCount() == 7  # four of them are drill templates


def test_pages_that_are_not_wanted_are_left_out_of_the_preview(
    qtbot: QtBot, tmp_path: Path
) -> None:
    choose_extra("template", False)
    assert chosen_extras() == ("spring-order",)
    dialog = open_preview(None, [FRONT.study(sample("small_saloon"))], today=TODAY)
    qtbot.addWidget(dialog)
    with qtbot.waitExposed(dialog):
        dialog.show()
    shown = dialog.findChild(QPrintPreviewWidget)
    assert shown is not None
    assert shown.pageCount() == 3
    choose_extra("template", True)
    assert chosen_extras() == EXTRAS


def test_paper_chosen_in_the_preview_is_remembered(qtbot: QtBot, tmp_path: Path) -> None:
    remember_paper(A4)
    dialog = open_preview(None, [FRONT.study(sample("inch_sedan"))], today=TODAY)
    qtbot.addWidget(dialog)
    printer = dialog.printer()
    printer.setPageSize(QPageSize(QPageSize.PageSizeId.Letter))
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    dialog.paint_sheet(printer)  # type: ignore[attr-defined]
    assert usual_paper() is LETTER
    pages = PdfReader(tmp_path / "printed.pdf").pages
    assert float(pages[0].mediabox.width) == pytest.approx(612.0)
    assert "Tolland Overlook Six" in " ".join(pages[0].extract_text().split())


@pytest.mark.parametrize(
    ("locale", "paper"),
    [("en_US", LETTER), ("en_CA", LETTER), ("es_MX", LETTER), ("de_DE", A4), ("en_GB", A4)],
)
def test_without_a_choice_the_paper_is_the_countrys(
    locale: str, paper: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QLocale, "system", lambda: QLocale(locale))
    assert usual_paper() is paper
