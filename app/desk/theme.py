"""Light and dark: one palette of inks for widgets and board alike."""

from __future__ import annotations

from pathlib import Path
from typing import Final, Literal

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication

from app.paint.palette import PALETTES, Inks

Choice = Literal["light", "dark", "system"]
Name = Literal["light", "dark"]

STYLE: Final = "Fusion"
CHOICES: Final[tuple[Choice, ...]] = ("system", "light", "dark")


def resolved(app: QApplication, choice: Choice) -> Name:
    """Return the palette name of a theme choice; "system" follows the system's."""
    if choice != "system":
        return choice
    dark = app.styleHints().colorScheme() == Qt.ColorScheme.Dark
    return "dark" if dark else "light"


def apply(app: QApplication, name: Name) -> None:
    """Set the palette and style sheet of all widgets, unless they are set already."""
    ink(app, name)
    if app.property("paper") != name:
        app.setProperty("paper", name)
        app.setStyleSheet(_sheet(PALETTES[name], name))


def ink(app: QApplication, name: Name) -> None:
    """Set only the palette of all widgets: a window is built faster before the style sheet."""
    if app.property("inks") != name:
        if not app.property("styled"):
            app.setProperty("styled", True)
            app.setStyle(STYLE)
        app.setProperty("inks", name)
        app.setPalette(widget_palette(PALETTES[name]))


def widget_palette(inks: Inks) -> QPalette:
    """Return the palette of ordinary widgets in these inks."""
    role = QPalette.ColorRole
    palette = QPalette()
    plain = {
        role.Window: inks.margin,
        role.WindowText: inks.ink,
        role.Base: inks.paper,
        role.AlternateBase: inks.wash,
        role.Text: inks.ink,
        role.Button: inks.margin,
        role.ButtonText: inks.ink,
        role.ToolTipBase: inks.paper,
        role.ToolTipText: inks.ink,
        role.PlaceholderText: inks.second,
        role.Highlight: inks.ink,
        role.HighlightedText: inks.paper,
        role.Link: inks.accent,
        role.Accent: inks.accent,
        role.Light: inks.paper,
        role.Midlight: inks.wash,
        role.Mid: inks.grid_heavy,
        role.Dark: inks.soft,
        role.Shadow: inks.second,
        role.BrightText: inks.accent,
    }
    for colour_role, colour in plain.items():
        palette.setColor(colour_role, QColor(colour))
    off = QPalette.ColorGroup.Disabled
    for colour_role in (role.WindowText, role.Text, role.ButtonText):
        palette.setColor(off, colour_role, QColor(inks.soft))
    return palette


def _sheet(inks: Inks, name: Name) -> str:
    """Return the style rules that a palette can't express: hair lines, headers, splitters."""
    hair = f"1px solid {inks.grid_heavy}"
    button = "#head QToolButton, #hint QToolButton, #doubts QToolButton"
    return f"""
QToolTip {{ color: {inks.ink}; background: {inks.paper}; border: {hair}; padding: 4px; }}
QSplitter::handle {{ background: {inks.grid_heavy}; }}
QSplitter::handle:hover {{ background: {inks.soft}; }}
QSplitter::handle:horizontal {{ width: 3px; }}
QSplitter::handle:vertical {{ height: 3px; }}
QMenu {{ background: {inks.paper}; border: {hair}; padding: 4px 0; }}
QMenu::item {{ padding: 4px 22px 4px 30px; color: {inks.ink}; }}
QMenu::item:selected {{ background: {inks.ink}; color: {inks.paper}; }}
QMenu::item:disabled {{ background: transparent; color: {inks.soft}; }}
QMenu::indicator {{ width: 10px; height: 10px; left: 9px; border: 1px solid {inks.second}; }}
QMenu::indicator:checked {{ background: {inks.accent}; }}
QMenu::indicator:exclusive {{ border-radius: 5px; }}
QMenu::separator {{ height: 1px; background: {inks.grid_heavy}; margin: 4px 8px; }}
QCheckBox::indicator, QTableView::indicator {{
    width: 13px; height: 13px; border: 1px solid {inks.second}; border-radius: 2px;
    background: {inks.paper};
}}
QCheckBox::indicator:checked, QTableView::indicator:checked {{ image: url("{_tick(name)}"); }}
QCheckBox::indicator:focus {{ border-color: {inks.accent}; }}
QCheckBox::indicator:disabled {{ border-color: {inks.grid_heavy}; }}
QTableView {{ gridline-color: {inks.grid_heavy}; }}
QScrollBar {{ background: transparent; border: none; margin: 0; }}
QScrollBar:vertical {{ width: 10px; }}
QScrollBar:horizontal {{ height: 10px; }}
QScrollBar::handle {{ background: {inks.grid_heavy}; border-radius: 3px; margin: 2px; }}
QScrollBar::handle:vertical {{ min-height: 28px; }}
QScrollBar::handle:horizontal {{ min-width: 28px; }}
QScrollBar::handle:hover {{ background: {inks.soft}; }}
QScrollBar::handle:disabled {{ background: transparent; }}
QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
QScrollBar::add-page, QScrollBar::sub-page {{ background: transparent; }}
QLineEdit, QPlainTextEdit, QTextEdit {{
    border: 1px solid {inks.soft}; border-radius: 2px; padding: 2px 3px; background: {inks.paper};
}}
QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus {{ border: 1px solid {inks.accent}; }}
QLineEdit:disabled {{ border-color: {inks.grid_heavy}; }}
#head {{ background: {inks.paper}; border-bottom: 2px solid {inks.ink}; }}
{button} {{
    border: {hair}; border-radius: 3px; padding: 4px 10px; background: {inks.margin};
}}
{button.replace("QToolButton", "QToolButton:hover")} {{ border-color: {inks.soft}; }}
{button.replace("QToolButton", "QToolButton:focus")} {{ border: 1px solid {inks.accent}; }}
#head QToolButton:checked, #hint QToolButton:checked, #doubts QToolButton:checked {{
    background: {inks.ink}; color: {inks.paper};
}}
#head QToolButton:disabled {{ color: {inks.soft}; }}
#hint, #doubts {{ background: {inks.paper}; border-bottom: {hair}; }}
#doubts QListView::item {{ padding: 3px 0; }}
#doubts QListView::item:hover {{ background: {inks.wash}; color: {inks.ink}; }}
#doubts QListView::item:selected {{ background: {inks.ink}; color: {inks.paper}; }}
#hint QLabel, #doubts QLabel {{ color: {inks.ink}; }}
"""


def _tick(name: Name) -> str:
    """Return the file of a tick in the ink of a paper; the style's own is lost on a dark one."""
    return (Path(__file__).parents[1] / "icons" / f"tick-{name}.svg").as_posix()
