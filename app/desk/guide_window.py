"""The user guide and the other pages on the program, in a window of its own, without a network."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from PySide6.QtCore import QByteArray, Qt, QTimer, QUrl
from PySide6.QtGui import (
    QImage,
    QKeySequence,
    QResizeEvent,
    QShortcut,
    QTextCharFormat,
    QTextDocument,
)
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

import app
from app.panels.widgets import small_label
from app.qt.border import fenced

PAGES: Final = {
    "guide.md": "User guide",
    "measuring.md": "Measuring a car",
    "sheet.md": "The setup sheet",
    "templates.md": "Drill templates",
    "nomenclature.md": "Words, signs, results",
    "command-line.md": "Command line",
    "file-format.md": "The file",
    "rear-theory.md": "The rear: theory",
    "sources.md": "Sources",
    "changelog.md": "What has changed",
}
SIZE: Final = (980, 760)
MARGIN: Final = 40  # beside a picture [px]
MARKDOWN: Final = QTextDocument.ResourceType.MarkdownResource
IMAGE: Final = QTextDocument.ResourceType.ImageResource


def link_name(heading: str) -> str:
    """Return how a link names a heading: small letters, a hyphen for each blank, no other signs."""
    kept = "".join(sign for sign in heading.lower() if sign.isalnum() or sign in " -_")
    return kept.replace(" ", "-")


def pages_folder() -> Path:
    """Return where the pages lie: beside the program where it is installed, else in its tree."""
    inside = Path(app.__file__).parent / "docs"
    return inside if inside.is_dir() else Path(app.__file__).parents[1] / "docs"


@fenced
class PageView(QTextBrowser):
    """A page; its pictures are no wider than the view."""

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Page")
        self.setOpenExternalLinks(False)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)

    def doSetSource(self, name: QUrl | str, kind: QTextDocument.ResourceType = MARKDOWN) -> None:
        """Follow a link among the pages; one that leads elsewhere isn't followed."""
        whole = self.source().resolved(QUrl(name))
        head, page = whole.fragment(), QUrl(whole.toString().partition("#")[0])
        if not page.isLocalFile() or not page.fileName().endswith(".md"):
            return
        if page.fileName() != self.source().fileName():
            self._begin_anew()
            super().doSetSource(page, MARKDOWN)
        self.go_to_head(head)

    def go_to_head(self, name: str) -> None:
        """Scroll to the heading that a link names, as such links are written."""
        block = self.document().begin()
        while block.isValid():
            if block.blockFormat().headingLevel() and link_name(block.text()) == name:
                top = self.document().documentLayout().blockBoundingRect(block).top()
                self.verticalScrollBar().setValue(round(top))
                return
            block = block.next()

    def loadResource(self, kind: int, name: QUrl | str) -> Any:
        """Return a page, or a picture made to fit."""
        if kind != IMAGE.value:
            return super().loadResource(kind, name)
        picture = QImage(self.source().resolved(QUrl(name)).toLocalFile())
        room = max(self.viewport().width() - MARGIN, 200)
        if picture.isNull() or picture.width() <= room:
            return picture if not picture.isNull() else QByteArray()
        return picture.scaledToWidth(room, Qt.TransformationMode.SmoothTransformation)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the pictures to the new width once whatever goes on is done."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            QTimer.singleShot(0, self, self._fit_pictures)

    def _fit_pictures(self) -> None:
        """Read the page again, which asks for its pictures again, and stay where it was."""
        page, bar = Path(self.source().toLocalFile()), self.verticalScrollBar()
        if page.is_file():
            share = bar.value() / max(bar.maximum(), 1)
            self._begin_anew()
            self.setMarkdown(page.read_text(encoding="utf-8"))
            bar.setValue(round(share * bar.maximum()))

    def _begin_anew(self) -> None:
        """Forget the page's type, or the next one would be set in that of the last heading."""
        self.clear()
        self.setCurrentCharFormat(QTextCharFormat())


@fenced
class GuideWindow(QDialog):
    """The pages by name, one of them beside these, and a line that finds words in it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("User guide")
        self.resize(*SIZE)
        self.list, self.page, self.line = QListWidget(), PageView(), QLineEdit()
        self.list.setAccessibleName("Pages")
        self.line.setPlaceholderText("Find on this page")
        self.line.setAccessibleName("Find on this page")
        self.said = small_label()
        for file, title in PAGES.items():
            item = QListWidgetItem(title)
            item.setData(Qt.ItemDataRole.UserRole, file)
            self.list.addItem(item)
        self._lay_out()
        self.list.currentItemChanged.connect(lambda item, *_: self.show_page(item))
        self.page.sourceChanged.connect(self._follow)
        self.line.returnPressed.connect(self.find_next)
        QShortcut(QKeySequence(QKeySequence.StandardKey.Find), self, self.line.setFocus)
        self.list.setCurrentRow(0)

    def _lay_out(self) -> None:
        self.list.setFixedWidth(190)
        right = QVBoxLayout()
        for widget in (self.page, self.line, self.said):
            right.addWidget(widget)
        layout = QHBoxLayout(self)
        layout.addWidget(self.list)
        layout.addLayout(right, 1)

    def show_page(self, item: QListWidgetItem) -> None:
        """Show a page from its beginning."""
        file = item.data(Qt.ItemDataRole.UserRole)
        if self.page.source().fileName() != file:
            self.page.setSource(QUrl.fromLocalFile(str(pages_folder() / file)), MARKDOWN)

    def find_next(self) -> None:
        """Go to the next place on the page that has the words; from the end to the beginning."""
        words, page = self.line.text(), self.page
        there = page.find(words)
        if not there:
            cursor = page.textCursor()
            page.moveCursor(cursor.MoveOperation.Start)
            there = page.find(words)
            if not there:
                page.setTextCursor(cursor)
        self.said.setText("" if there or not words else "These words aren't on this page.")

    def _follow(self, source: QUrl) -> None:
        """Mark the page that a link led to."""
        for row, file in enumerate(PAGES):
            if file == source.fileName() and self.list.currentRow() != row:
                self.list.setCurrentRow(row)


def show_guide(parent: QWidget) -> GuideWindow:
    """Open the guide; the board stays usable beside it."""
    shown = GuideWindow(parent)
    shown.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    shown.show()
    return shown
