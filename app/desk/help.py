"""The help on keys and mouse, and the cautions of the trade."""

from __future__ import annotations

from typing import Final

from PySide6.QtWidgets import QDialog, QDialogButtonBox, QTextBrowser, QVBoxLayout, QWidget

from app import VERSION

KEYS: Final = (
    (
        "On the drawing",
        (
            ("drag a square", "move a hole in the body; the same parts are bolted to it"),
            ("drag a circle", "move a joint: a new part, made to fit"),
            ("Shift while dragging", "keep to one direction"),
            ("Alt while dragging", "leave the whole millimetres (or 1/32 in)"),
            ("Ctrl while dragging", "slowly: each whole millimetre (or 1/32 in) at any zoom"),
            ("Escape while dragging", "take it back"),
            ("Ctrl and click", "select several points; they move together, typed too"),
            ("drag the wheel, the ground", "travel the wheel, roll the car"),
            ("drag a centre's mark, a figure", "points with room follow by the least move"),
            ("double-click a point, or Enter", "type its place, or a move such as −22"),
            ("right-click a point, or Menu", "reset, lock, note, tape, find where it must be"),
            ("drag the paper, wheel", "shift it, zoom"),
            ("double-click a view's title", "fill the board with it, and back"),
            ("click a small curve", "it changes places with the large one"),
            ("click a title at the left", "fold that part, or show it again"),
        ),
    ),
    (
        "Keys",
        (
            ("[ and ], or Page up and down", "walk through the points"),
            ("arrows", "nudge 1 mm or 1/32 in; Shift: ten times, Alt or Ctrl: a tenth"),
            ("Tab, Shift+Tab", "go round all parts of the window; arrows walk inside a part"),
            ("Enter on a sentence or a result", "what it means, and its limit"),
            ("F; + and −", "fit the drawing; zoom"),
            ("R, or Ctrl+Tab", "front or rear"),
            ("T", "enter a tape between the two points that are selected"),
            ("U", "millimetres or inches"),
            ("S", "let it settle on its springs, or hold the height"),
            ("B", "show both cars from one place in the body, or each where it stands"),
            ("Z", "back to the height at which it stands"),
            ("Ctrl+1 to Ctrl+4, Ctrl+0", "one part of the board alone, all four"),
            ("Ctrl+Z, Ctrl+Y", "undo, redo"),
            ("Ctrl+Shift+F", "find where this must be: seek a change"),
            ("Ctrl+B", "proposals side by side"),
            ("Ctrl+K", "clearances: parts, and pairs that must stay apart"),
            ("Ctrl+L", "align the front: shims and turns from a gauge's readings"),
            ("Ctrl+Shift+L", "lay another car over this one"),
            ("O", "see both cars, the second alone, the first alone; Escape takes it away"),
            ("Ctrl+H", "the steps as a list: go to any of them"),
            ("Ctrl+F", "find a result, point, value, change or command"),
            ("Space", "in the changes: tick one; on the drawing, held: shift the paper"),
            ("Ctrl+D; Ctrl+Up, Ctrl+Down; Del", "copy, move, remove a change"),
            ("L, W, H", "in the results: set a limit; find it; how it is worked out"),
            ("V; Alt+Left, Alt+Right", "in the results: set one to a value; draw it on by a step"),
            ("Insert, Alt+Up, Alt+Down, Del", "add, move, take out a leaf of the pack"),
            ("0 on a slider", "back to zero"),
            ("Ctrl+C in a table", "copy its rows with their heads"),
            ("Ctrl+Shift+C", "copy the drawing as a picture"),
            ("Ctrl+N, Ctrl+O", "measure a new car, open one"),
            ("Ctrl+S, Ctrl+Shift+S", "save, save as"),
            ("Ctrl+E, Ctrl+P", "setup sheet as PDF, on paper"),
            ("Ctrl+I", "title, customer, dates, hole size, remarks and notes for the sheet"),
            ("Ctrl+T", "drill template at full size, as PDF or DXF"),
            ("F1, Shift+F1, Ctrl+Q", "the user guide, this list, quit"),
        ),
    ),
)
CAUTIONS: Final = (
    "What you see is a calculation from the points that were measured. It is no approval and says "
    "nothing of strength: whether a car may be changed so, and driven, is for the workshop "
    "manual, the local rules and a licensed engineer or inspector.",
    "Springs store energy: they are cages' and compressors' work, and the car stands on stands.",
    "Ball joints bind and tear at the end of their swing: look at full droop, full bump and both "
    "locks before the car moves.",
    "A drilled hole weakens a panel; brakes and steering are safety parts: hoses, lines and "
    "shafts need their length at every travel.",
    "Rubber bushes are torqued with the car on its wheels.",
)


def show_keys(parent: QWidget) -> None:
    """Show the help on keys and mouse."""
    _show(parent, "Keys and hands", "".join(_table(*group) for group in KEYS))


def show_about(parent: QWidget) -> None:
    """Show the version and the cautions."""
    items = "".join(f"<li>{words}</li>" for words in CAUTIONS)
    _show(
        parent,
        "About Wishboard",
        (
            f"<h3>Wishboard {VERSION}</h3><p>A sketchpad for classic-car suspension: drag a pivot "
            f"and see what the whole car answers, then print the sheet for the shop.</p>"
            f"<h3>Cautions</h3><ul>{items}</ul>"
        ),
    )


def _table(title: str, rows: tuple[tuple[str, str], ...]) -> str:
    cells = "".join(
        f"<tr><td><b>{key}</b></td><td>&nbsp;&nbsp;{words}</td></tr>" for key, words in rows
    )
    return f"<h3>{title}</h3><table cellpadding='2'>{cells}</table>"


def _show(parent: QWidget, title: str, html: str) -> None:
    dialog = QDialog(parent)
    dialog.setWindowTitle(title)
    dialog.resize(640, 560)
    browser = QTextBrowser()
    browser.setHtml(html)
    browser.setAccessibleName(title)
    buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
    buttons.rejected.connect(dialog.reject)
    layout = QVBoxLayout(dialog)
    layout.addWidget(browser)
    layout.addWidget(buttons)
    dialog.exec()
