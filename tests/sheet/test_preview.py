"""The print dialog: the same pages on the paper of the country, or of the user's choice."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QLocale, Qt
from PySide6.QtGui import QPageLayout, QPageSize
from PySide6.QtPrintSupport import QPrinter, QPrintPreviewWidget
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QToolButton
from pytestqt.qtbot import QtBot

from app.paper.sizes import A4, LETTER, remember_paper, usual_paper
from app.sheet.extra_pages import choose_extra, chosen_extras
from app.sheet.pages import STRUCK
from app.sheet.preview import open_preview
from app.shop.extras import ALL_EXTRAS, EXTRAS
from app.shop.subject import Ends
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from tests.helpers.printed_cells import texts_of
from tests.helpers.sheets import TODAY, sample

pytestmark = pytest.mark.gui


def test_the_preview_shows_every_page(qtbot: QtBot) -> None:
    dialog = open_preview(None, [FRONT.study(sample("small_saloon"))], today=TODAY)
    qtbot.addWidget(dialog)
    with qtbot.waitExposed(dialog):
        dialog.show()
    shown = dialog.findChild(QPrintPreviewWidget)
    assert shown is not None
    assert shown.pageCount() == 7  # two of them are drill templates


def test_pages_that_are_not_wanted_are_left_out_of_the_preview(
    qtbot: QtBot, tmp_path: Path
) -> None:
    choose_extra("template", False)
    assert chosen_extras() == ("alignment", "spring-order")
    dialog = open_preview(None, [FRONT.study(sample("small_saloon"))], today=TODAY)
    qtbot.addWidget(dialog)
    with qtbot.waitExposed(dialog):
        dialog.show()
    shown = dialog.findChild(QPrintPreviewWidget)
    assert shown is not None
    assert shown.pageCount() == 5
    choose_extra("template", True)
    assert chosen_extras() == EXTRAS
    choose_extra("proposals", True)
    assert chosen_extras() == ALL_EXTRAS
    choose_extra("proposals", False)


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


def shown_on(qtbot: QtBot, tmp_path: Path, *, ends: Ends = "work") -> Any:
    """Open a preview whose printer writes a file."""
    setup = sample("small_saloon")
    studies = [system.study(setup) for system in (FRONT, REAR)]
    for extra in EXTRAS:
        choose_extra(extra, False)
    dialog = open_preview(None, studies, today=TODAY, ends=ends)
    qtbot.addWidget(dialog)
    printer = dialog.printer()
    printer.setPageLayout(A4.layout())
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    return dialog


def texts_in(tmp_path: Path) -> list[str]:
    return texts_of(tmp_path / "printed.pdf")


@pytest.mark.parametrize(
    ("size", "orientation", "words"),
    [
        pytest.param(
            QPageSize.PageSizeId.A5,
            QPageLayout.Orientation.Portrait,
            "On A5 it is reduced to 70 %",
            marks=pytest.mark.long,
        ),
        (QPageSize.PageSizeId.A4, QPageLayout.Orientation.Landscape, "A4, lying, it is reduced"),
    ],
)
def test_a_page_that_is_too_small_gets_all_of_the_sheet_smaller_and_says_so(
    size: QPageSize.PageSizeId,
    orientation: QPageLayout.Orientation,
    words: str,
    qtbot: QtBot,
    tmp_path: Path,
) -> None:
    dialog = shown_on(qtbot, tmp_path)
    dialog.paint_sheet(dialog.printer())
    whole = texts_in(tmp_path)
    dialog.printer().setPageSize(QPageSize(size))
    dialog.printer().setPageOrientation(orientation)
    dialog.paint_sheet(dialog.printer())
    assert words in dialog.remark.text()
    small = texts_in(tmp_path)
    for page, full in zip(small, whole, strict=True):
        assert "the scales don't hold" in page
        assert sorted(full) == sorted(page.replace(reduced_words(page), "", 1).strip())
    for page in PdfReader(tmp_path / "printed.pdf").pages:
        assert all(0.0 <= x <= float(page.mediabox.width) for x in places(page))


def test_a_template_that_is_not_at_full_size_is_struck_through(
    qtbot: QtBot, tmp_path: Path
) -> None:
    dialog = shown_on(qtbot, tmp_path)
    choose_extra("template", True)
    for size, is_whole in ((QPageSize.PageSizeId.A4, True), (QPageSize.PageSizeId.A5, False)):
        dialog.printer().setPageSize(QPageSize(size))
        dialog.paint_sheet(dialog.printer())
        pages = texts_in(tmp_path)
        drilled = ["Measure this before drilling" in page for page in pages]
        assert any(drilled)
        assert [STRUCK in page for page in pages] == [each and not is_whole for each in drilled]


def reduced_words(page: str) -> str:
    start = page.index("Reduced to")
    return page[start : page.index("don't hold") + len("don't hold")]


def places(page: Any) -> list[float]:
    """Return where words begin across the page [points]."""
    found: list[float] = []

    def visit(text: str, cm: Any, tm: Any, *_: object) -> None:
        if text.strip():
            found.append(cm[0] * tm[4] + cm[4])

    page.extract_text(visitor_text=visit)
    return found


def test_full_paper_says_nothing(qtbot: QtBot, tmp_path: Path) -> None:
    dialog = shown_on(qtbot, tmp_path)
    dialog.paint_sheet(dialog.printer())
    assert dialog.remark.text() == ""
    assert not any("Reduced" in page for page in texts_in(tmp_path))


def test_only_the_pages_asked_for_are_printed(qtbot: QtBot, tmp_path: Path) -> None:
    dialog = shown_on(qtbot, tmp_path)
    dialog.printer().setFromTo(2, 3)
    dialog.paint_sheet(dialog.printer())
    pages = texts_in(tmp_path)
    assert len(pages) == 2
    for number, page in enumerate(pages, 2):
        assert f"page {number} of " in page


def test_pages_that_are_not_there_are_not_printed_and_that_is_said(
    qtbot: QtBot, tmp_path: Path
) -> None:
    dialog = shown_on(qtbot, tmp_path)
    dialog.printer().setFromTo(50, 60)
    dialog.paint_sheet(dialog.printer())
    assert "none of those asked for" in dialog.remark.text()
    assert not (tmp_path / "printed.pdf").exists()


def test_every_button_is_reached_by_keyboard_and_two_have_keys(
    qtbot: QtBot, tmp_path: Path
) -> None:
    dialog = shown_on(qtbot, tmp_path)
    buttons = [b for b in dialog.findChildren(QToolButton) if b.defaultAction() is not None]
    assert all(b.focusPolicy() & Qt.FocusPolicy.TabFocus for b in buttons)
    keys = {a.text(): a.shortcut().toString() for a in dialog.actions()}
    assert keys == {"Print": "Ctrl+P", "Page setup": "Ctrl+Shift+P"}


def test_tab_comes_to_print_and_page_setup(qtbot: QtBot, tmp_path: Path) -> None:
    dialog = shown_on(qtbot, tmp_path)
    with qtbot.waitExposed(dialog):
        dialog.show()
    dialog.activateWindow()
    qtbot.waitUntil(lambda: dialog.focusWidget() is not None)
    reached = set()
    for _ in range(30):
        QTest.keyClick(dialog.focusWidget() or dialog, Qt.Key.Key_Tab)
        focused = dialog.focusWidget()
        if isinstance(focused, QToolButton) and focused.defaultAction() is not None:
            reached.add(focused.defaultAction().text())
    assert reached >= {"Print", "Page setup", "Portrait", "Next page"}


def test_the_sheet_covers_the_ends_that_are_asked_for(qtbot: QtBot, tmp_path: Path) -> None:
    dialog = shown_on(qtbot, tmp_path, ends="rear")
    dialog.paint_sheet(dialog.printer())
    text = " ".join(texts_in(tmp_path))
    assert "Rear suspension" in text
    assert "Front suspension" not in text
    assert "Re-drill the upper arm pivots" not in text
    assert "Set the alignment to" not in text
