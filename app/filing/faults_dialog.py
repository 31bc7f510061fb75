"""What is wrong with a file, every fault with its line; the file is left as it is."""

from __future__ import annotations

from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLabel, QTextBrowser, QVBoxLayout, QWidget

from app.document.faults import TOLD, Fault, rest_words
from app.document.plain_text import one_line, printable
from app.qt.tips import escape


class FaultsDialog(QDialog):
    """Lists faults with line, key, what was found and what was expected."""

    def __init__(self, name: str, faults: tuple[Fault, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("This file can't be opened")
        self.resize(680, 420)
        count = "one thing" if len(faults) == 1 else f"{len(faults)} things"
        head = QLabel(
            f"<b>{escape(one_line(name))}</b> can't be opened: {count} to mend. "
            "The file is untouched, and the setup on the board stays."
        )
        head.setWordWrap(True)
        shown_faults, rest_text = faults[:TOLD], rest_words(len(faults))
        self._text = printable("\n".join([*map(str, shown_faults), rest_text]).rstrip())
        browser = QTextBrowser()
        browser.setAccessibleName("Faults of the file")
        paragraphs = [*map(_paragraph, shown_faults), f"<p>{rest_text}</p>"]
        browser.setHtml(printable("".join(paragraphs)))
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        copy = buttons.addButton("Copy as text", QDialogButtonBox.ButtonRole.ActionRole)
        copy.clicked.connect(self._copy)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        for widget in (head, browser, buttons):
            layout.addWidget(widget)

    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(self._text)


def _paragraph(fault: Fault) -> str:
    line = "" if fault.line is None else f"line {fault.line}"
    where = " · ".join(part for part in (line, fault.key) if part)
    found_words = f"{escape(fault.found)}"
    expected = f"; expected {escape(fault.expected)}" if fault.expected else ""
    hint = f"<br><i>{escape(fault.hint)}</i>" if fault.hint else ""
    return f"<p><b>{escape(where)}</b><br>{found_words}{expected}.{hint}</p>"
