"""The actions of the window, with their words and keys."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QActionGroup, QKeySequence, QShortcut
from PySide6.QtWidgets import QMenu, QMenuBar, QWidget

from app.desk.laying_over import LAY, NEXT, SecondMenu, lay_file_over
from app.desk.menu_choices import COPIES, COVERAGE, EXPORTS, cover, sheet_covers
from app.desk.theme import CHOICES, Choice
from app.document.model import SETTLES
from app.document.plain_text import one_line
from app.filing.filing import has_half_measured
from app.panels.entry import finish_typing
from app.qt.tips import tip
from app.shop.extras import ALL_EXTRAS, Extra

if TYPE_CHECKING:
    from app.desk.window import Window
    from app.entry.draft_store import Unfinished
    from app.shop.subject import Ends

Keys = QKeySequence.StandardKey


class Actions(QObject):
    """The window's actions; each calls one method of the window or the session."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self.window = window
        session, filing = window.session, window.filing
        self.new_car = self._add("&New car…", window.measure_new, Keys.New)
        self.open = self._add("&Open…", filing.open, Keys.Open)
        self.save = self._add("&Save", filing.save, Keys.Save)
        self.save_as = self._add("Save &as…", filing.save_as, "Ctrl+Shift+S")
        self.details = self._add("Car and sheet &details…", window.show_details, "Ctrl+I")
        self.take_list = self._add("&Points from a list…", window.take_list)
        self.tape = self._add("&Tape between two points…", window.take_tape, "T")
        self.as_read = self._add("&Readings of gauges…", window.take_readings)
        self.floor = self._add("F&loor and rake…", window.take_floor)
        self.find_where = self._add(
            "Find where this &must be…", window.find_where_selected, "Ctrl+Shift+F"
        )
        self.clearances = self._add("Cleara&nces…", window.show_clearances, "Ctrl+K")
        self.align = self._add("A&lign the front…", partial(_align, window), "Ctrl+L")
        self.compare = self._add("Proposals side by &side…", window.compare, "Ctrl+B")
        self.lay_over = self._add(LAY, partial(lay_file_over, window), "Ctrl+Shift+L")
        self.switch_car = self._add(NEXT, session.second.switch, "O")
        self.correct = self._add("&Correct the measurements…", window.measure_again)
        self.sheet = self._add("Setup &sheet…", window.save_sheet, "Ctrl+E")
        self.sheet.setIconText("Setup sheet")
        self.template = self._add("Drill &template…", window.save_template, "Ctrl+T")
        self.print = self._add("&Print…", window.print_sheet, Keys.Print)
        self.quit = self._add("&Quit", window.close, "Ctrl+Q")
        self.undo = self._add("&Undo", session.undo, Keys.Undo)
        self.redo = self._add("&Redo", session.redo, Keys.Redo, "Ctrl+Y", "Ctrl+Shift+Z")
        self.steps = self._add("S&teps…", window.show_steps, "Ctrl+H")
        self.find = self._add("&Find…", window.open_search, Keys.Find)
        self.fit = self._add("&Fit the drawing", window.board.fit, "F")
        self.units = self._add("Millimetres or &inches", window.toggle_units, "U")
        self.settle = self._add("Let it &settle", window.toggle_settle, "S")
        self.settle.setCheckable(True)
        self.in_body = self._add(
            "&Both cars from one place in the body", window.toggle_in_body, "B"
        )
        self.in_body.setCheckable(True)
        self.other_axle = self._add(
            "Change over front and &rear", window.change_over, "Ctrl+Tab", "R"
        )
        self.design = self._add("Back to the height at which it &stands", window.pose_at_rest, "Z")
        self.guide = self._add("User &guide", window.show_guide, Keys.HelpContents)
        self.help = self._add("&Keys and hands", window.show_keys, "Shift+F1")
        self.about = self._add("&About and cautions", window.show_about)
        self.told_held = QShortcut(QKeySequence(Keys.Undo), window)
        self.told_held.activated.connect(self._tell_held)
        session.setup_changed.connect(self._show_history)
        session.pose_changed.connect(self._show_pose)
        session.units_changed.connect(self._show_units)
        self._show_history()
        self._show_units()

    def fill(self, bar: QMenuBar) -> None:
        """Fill the menu bar."""
        file = bar.addMenu("&File")
        file.addActions([self.new_car, self.open])
        file.addMenu(self._samples(file))
        file.addMenu(self._recent(file))
        file.addSeparator()
        file.addActions([self.save, self.save_as])
        file.addSeparator()
        file.addActions([self.details, self.sheet, self.template, self.print])
        file.addMenu(self._coverage(file))
        file.addMenu(self._with_the_sheet(file))
        file.addMenu(self._exports(file))
        file.addSeparator()
        file.addAction(self.quit)
        edit = bar.addMenu("&Edit")
        edit.addActions([self.undo, self.redo, self.steps])
        edit.addSeparator()
        edit.addActions([self.find, self.find_where])
        edit.addSeparator()
        edit.addMenu(self._copies(edit))
        edit.addSeparator()
        edit.addActions([self.correct, self.tape, self.as_read, self.floor, self.take_list])
        edit.addSeparator()
        edit.addActions([self.clearances, self.align])
        view = bar.addMenu("&View")
        view.addActions([self.fit, self.units])
        view.addSeparator()
        view.addActions([self.other_axle, self.settle, self.in_body, self.design])
        view.addSeparator()
        view.addAction(self.compare)
        view.addMenu(SecondMenu(self.window, self.lay_over, self.switch_car, view))
        view.addSeparator()
        self._fillings(view)
        view.addMenu(self._papers(view))
        help_ = bar.addMenu("&Help")
        help_.addActions([self.guide, self.help, self.about])

    def _add(
        self, words: str, done: Callable[..., object], *keys: str | QKeySequence.StandardKey
    ) -> QAction:
        action = QAction(words, self.window)
        action.triggered.connect(finish_typing)
        action.triggered.connect(lambda *_: done())
        sequences: list[QKeySequence] = []
        for key in keys:
            key_sequences = (
                [QKeySequence(key)] if isinstance(key, str) else QKeySequence.keyBindings(key)
            )
            sequences += [sequence for sequence in key_sequences if sequence not in sequences]
        action.setShortcuts(sequences)
        action.setShortcutContext(Qt.ShortcutContext.WindowShortcut)
        self.window.addAction(action)
        return action

    def _show_history(self) -> None:
        history, held = self.window.session.history, self.window.session.preview_setup
        for action, verb, words in (
            (self.undo, "Undo", history.undo_words),
            (self.redo, "Redo", history.redo_words),
        ):
            action.setEnabled(bool(words) and held is None)
            action.setText(f"&{verb}: {_menu_words(words)}" if words else f"&{verb}")
            action.setIconText(verb)
            told = f"{verb}: {words}" if words else f"Nothing to {verb.lower()}"
            action.setToolTip(tip(self.why_held() or told))
        self.told_held.setEnabled(bool(self.why_held()))

    def why_held(self) -> str:
        """Say why no step can be taken back while an answer is shown; empty while none is."""
        session = self.window.session
        if session.preview_setup is None or not session.preview_name:
            return ""
        return (
            f"{session.preview_name} is shown and isn't taken: take it, or close Find where this "
            "must be (Esc there); then steps can be undone."
        )

    def _tell_held(self) -> None:
        self.window.session.said.emit(self.why_held())

    def _show_pose(self) -> None:
        self.settle.setChecked(self.window.session.height == SETTLES)
        self.in_body.setChecked(self.window.session.in_body)

    def _show_units(self) -> None:
        units = self.window.session.units
        self.units.setIconText("mm" if units == "mm" else "inches")
        self.units.setToolTip("Show inches (U)" if units == "mm" else "Show millimetres (U)")

    def _with_the_sheet(self, parent: QWidget) -> QMenu:
        """Return the choice of pages that follow the sheet where the work calls for them."""
        menu = QMenu("&With the sheet", parent)

        def fill() -> None:
            from app.sheet.extra_pages import chosen_extras

            menu.clear()
            for extra in ALL_EXTRAS:
                action = menu.addAction(_WITH_SHEET[extra])
                action.setCheckable(True)
                action.setChecked(extra in chosen_extras())
                action.toggled.connect(partial(_choose_extra, extra))

        menu.aboutToShow.connect(fill)
        return menu

    def _coverage(self, parent: QWidget) -> QMenu:
        menu = QMenu("Setup sheet &covers", parent)
        group = QActionGroup(menu)
        actions: dict[Ends, QAction] = {}
        for ends, words in COVERAGE.items():
            action = actions[ends] = menu.addAction(words)
            action.setCheckable(True)
            action.triggered.connect(partial(_cover, ends))
            group.addAction(action)
        menu.aboutToShow.connect(lambda: actions[sheet_covers()].setChecked(True))
        return menu

    def _exports(self, parent: QWidget) -> QMenu:
        menu = QMenu("E&xport", parent)
        for what, kind in EXPORTS.items():
            menu.addAction(kind.words).triggered.connect(partial(self._export, what))
        return menu

    def _copies(self, parent: QWidget) -> QMenu:
        menu = QMenu("&Copy", parent)
        for what, words in COPIES.items():
            action = menu.addAction(words)
            action.triggered.connect(partial(self._copy, what))
            if what == "drawing":
                action.setShortcut("Ctrl+Shift+C")
        return menu

    def _copy(self, what: str, *_: object) -> None:
        self.window.copy(what)

    def _export(self, what: str, *_: object) -> None:
        self.window.export(what)

    def _samples(self, parent: QWidget) -> QMenu:
        menu = QMenu("Invented &examples", parent)

        def fill() -> None:
            for title, path in self.window.samples() if menu.isEmpty() else ():
                menu.addAction(_menu_words(title)).triggered.connect(self._opener(path))

        menu.aboutToShow.connect(fill)
        return menu

    def _recent(self, parent: QMenu) -> QMenu:
        menu = QMenu("Open &recent", parent)

        def fill() -> None:
            menu.clear()
            for car in self.window.half_measured():
                words = f"{_menu_words(car.title)}: go on measuring"
                menu.addAction(words).triggered.connect(partial(self._go_on_with, car))
            menu.addSeparator()
            for path in self.window.filing.recent():
                menu.addAction(_menu_words(path.name)).triggered.connect(self._opener(path))

        def enable() -> None:
            menu.setEnabled(bool(self.window.filing.recent()) or has_half_measured())

        menu.aboutToShow.connect(fill)
        parent.aboutToShow.connect(enable)
        enable()
        return menu

    def _go_on_with(self, car: Unfinished, *_: object) -> None:
        self.window.go_on_with(car)

    def _opener(self, path: Path) -> Callable[..., None]:
        def open_it(*_: object) -> None:
            self.window.filing.open_path(path)

        return open_it

    def _fillings(self, menu: QMenu) -> None:
        for key, (title, part) in enumerate(self.window.parts(), start=1):
            action = menu.addAction(title)
            action.setShortcut(f"Ctrl+{key}")
            action.triggered.connect(self._filler(part))
        action = menu.addAction("All &four")
        action.setShortcut("Ctrl+0")
        action.triggered.connect(lambda *_: self.window.fill(None))

    def _filler(self, part: QWidget) -> Callable[..., None]:
        def fill(*_: object) -> None:
            self.window.fill(part)

        return fill

    def _papers(self, parent: QWidget) -> QMenu:
        menu = QMenu("&Paper", parent)
        group = QActionGroup(menu)
        names = {"system": "As the &system", "light": "&Light", "dark": "&Dark"}
        for choice in CHOICES:
            action = menu.addAction(names[choice])
            action.setCheckable(True)
            action.setChecked(choice == self.window.paper)
            action.triggered.connect(self._painter(choice))
            group.addAction(action)
        return menu

    def _painter(self, choice: Choice) -> Callable[..., None]:
        def paint(*_: object) -> None:
            self.window.set_paper(choice)

        return paint


_WITH_SHEET: Final = {
    "alignment": "&Alignment, where adjusters and targets are given",
    "proposals": "&Proposals side by side, for the owner",
    "spring-order": "&Spring order, where springs change",
    "template": "&Drill template, where holes move",
}


def _choose_extra(extra: Extra, is_wanted: bool) -> None:
    from app.sheet.extra_pages import choose_extra

    choose_extra(extra, is_wanted)


def _align(window: Window) -> None:
    from app.desk.aligning import NO_FRONT, AlignDialog

    if any(system.is_aligned for system in window.session.systems()):
        AlignDialog(window.session, window).exec()
    else:
        window.session.said.emit(NO_FRONT)


def _cover(ends: Ends, *_: object) -> None:
    cover(ends)


def _menu_words(name: str) -> str:
    """Return a name as a menu shows it: an ampersand would underline what follows it."""
    return one_line(name).replace("&", "&&")
