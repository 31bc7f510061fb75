"""A new car, point by point: the window that leads a person with a tape through it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Final, Literal

from PySide6.QtCore import QLocale, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QAccessible, QCloseEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from app.document.heights import moved_heights
from app.document.leaf_pairs import with_leaves
from app.document.leaf_parts import leaves_in
from app.document.model import Setup
from app.document.point_names import point_words
from app.entry.car_page import CarPage
from app.entry.close_question import Closing, ask_closing
from app.entry.draft_session import START, DraftSession
from app.entry.draft_store import DraftStore, Unfinished, unfinished
from app.entry.foot import Foot
from app.entry.head import Head
from app.entry.last_page import LastPage
from app.entry.leaves_page import LeavesPage
from app.entry.numbers_page import NumbersPage
from app.entry.page import Page
from app.entry.part import Step
from app.entry.parts import given_parts
from app.entry.pieces import label, named, small_button
from app.entry.point_page import PointPage
from app.entry.progress import Progress
from app.entry.step_list import StepList
from app.entry.steps import draft_of, new_draft
from app.entry.style_sheet import sheet_of
from app.entry.tapes_page import TapesPage
from app.entry.typed import Draft
from app.entry.typed_text import TypedText
from app.filing.filing import measuring_folder
from app.judge.survey_words import gone_tapes_words
from app.paint.palette import PALETTES
from app.qt.border import fenced
from app.qt.spoken import spoken_as
from app.session.session import Session

AUTOSAVE: Final = 1000  # ms after the first change that isn't kept yet
PAGES: Final[dict[str, type[Page]]] = {
    "car": CarPage,
    "numbers": NumbersPage,
    "leaves": LeavesPage,
    "point": PointPage,
    "tapes": TapesPage,
    "last": LastPage,
}
Paper = Literal["light", "dark"]
Keep = Callable[[], bool]  # puts the board's work on the disk, and tells whether it is there


@fenced
class MeasureWindow(QWidget):
    """The guide; `finished` hands over the car, measured."""

    finished = Signal(object)  # Setup

    def __init__(
        self,
        setup: Setup | None = None,
        *,
        correcting: bool = False,
        at: str = START,
        folder: Path | None = None,
        paper: Paper | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self.setObjectName("guide")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.folder = folder or measuring_folder()
        self.paper: Paper = paper or paper_of(self)
        self.ask_closing: Callable[[QWidget], Closing] = ask_closing
        self.hand_over: Callable[[Setup], bool] = lambda _setup: False
        draft = draft_of(setup, QLocale().decimalPoint()) if setup else first_draft()
        decimal = QLocale().decimalPoint()
        self.sitting = DraftSession(draft, at, decimal, correcting, self)
        self.shelf: DraftStore | None = None
        self.is_finished = False
        self._timer = QTimer(self, singleShot=True, interval=AUTOSAVE)
        self._timer.timeout.connect(self.keep)
        self._build()
        self._add_shortcuts()
        self.sitting.changed.connect(self._changed)
        self.sitting.step_changed.connect(self._show_step)
        self.setStyleSheet(sheet_of(PALETTES[self.paper]))
        self._show_step()

    def sizeHint(self) -> QSize:
        """Return the size of a small screen."""
        return QSize(1240, 700)

    # Its parts

    def _build(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.head = Head(self.sitting)
        self.head.close_asked.connect(self.close)
        self.setWindowTitle(self.head.name)
        spoken_as(self, QAccessible.Role.Window)
        column.addWidget(self.head)
        self.offers = QVBoxLayout()
        self.offers.setContentsMargins(14, 0, 14, 0)
        column.addLayout(self.offers)
        row = QHBoxLayout()
        row.setSpacing(0)
        self.steps = StepList(self.sitting, self.paper)
        self.steps.setFixedWidth(206)
        self.progress = Progress(self.sitting, self.paper)
        self.progress.setFixedWidth(362)
        self.middle = QVBoxLayout()
        row.addWidget(self.steps)
        row.addLayout(self.middle, 1)
        row.addWidget(self.progress)
        column.addLayout(row, 1)
        self.foot = Foot(self.sitting)
        self.foot.finish_asked.connect(self.finish)
        column.addWidget(self.foot)
        self.page: Page | None = None

    def _add_shortcuts(self) -> None:
        for keys, act in (
            ("Alt+Left", partial(self.sitting.forward, -1)),
            ("Alt+Right", partial(self.sitting.forward, 1)),
            ("Ctrl+L", self._focus_list),
        ):
            QShortcut(QKeySequence(keys), self, act)

    def _focus_list(self) -> None:
        self.steps.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def set_palette_name(self, paper: Paper) -> None:
        """Take the inks of a paper."""
        self.paper = paper
        self.setStyleSheet(sheet_of(PALETTES[paper]))
        self.steps.set_palette_name(paper)
        self.progress.set_palette_name(paper)
        self._show_step()

    def _show_step(self) -> None:
        """Show the page of the current step in the place of the last one."""
        stays = self.steps.hasFocus()
        old = self.page
        self.page = PAGES[self.sitting.current.sort](self.sitting, self.paper)
        self.page.onward.connect(self._onward)
        self.page.refilled.connect(self._order_again)
        self.middle.addWidget(self.page)
        if old is not None:
            self.middle.removeWidget(old)
            old.hide()
            old.deleteLater()
        self.page.show()
        self._order_tabs(self.page)
        if not stays:
            self.page.focus_first()
            if not self.page.takes_keyboard():
                self.foot.take_focus()

    def _order_tabs(self, page: Page) -> None:
        """Let Tab go through the page, then the foot, the steps and the head."""
        order = [*page.tab_widgets(), self.foot.next, self.foot.back, self.steps]
        order += list(self.head.units.values())
        for one, other in pairwise(order):
            QWidget.setTabOrder(one, other)

    def _order_again(self) -> None:
        if self.page is not None and self.sender() is self.page:
            self._order_tabs(self.page)

    def _onward(self) -> None:
        self.sitting.forward()

    # Unfinished cars

    def offer_unfinished(self) -> None:
        """Offer the cars that were left unfinished; nobody has to take one up."""
        for car in unfinished(self.folder)[:2]:
            self.offers.addWidget(self._offer(car))

    def _offer(self, car: Unfinished) -> QFrame:
        bar = named(QFrame(), "offer")
        row = QHBoxLayout(bar)
        row.setContentsMargins(12, 5, 8, 5)
        row.addWidget(label(f"“{car.title}” was left unfinished {car.day}.", wrap=True), 1)
        for words, act in (
            ("Go on with it", self.take_up),
            ("Throw it away", self._throw_away),
            ("Leave it", self._leave_it),
        ):
            button = small_button(words)
            button.clicked.connect(partial(self._answer_offer, act, car, bar))
            row.addWidget(button)
        return bar

    def _answer_offer(
        self, act: Callable[[Unfinished], None], car: Unfinished, bar: QFrame, _on: bool = False
    ) -> None:
        bar.hide()
        act(car)

    def take_up(self, car: Unfinished) -> None:
        """Go on with a car where it was left."""
        if self.shelf is not None:
            self.keep()
            self.shelf.leave()
        self.shelf = DraftStore(self.folder, car.path)
        self.sitting.take(car.draft, car.step)
        self.sitting.steps_changed.emit()
        self.sitting.units_changed.emit()
        self.sitting.changed.emit()
        self._show_step()

    def _throw_away(self, car: Unfinished) -> None:
        DraftStore(self.folder, car.path).discard()

    def _leave_it(self, car: Unfinished) -> None:
        """Let it stand for another time."""

    # Keeping

    def _changed(self) -> None:
        if not self._timer.isActive():
            self._timer.start()

    def keep(self) -> None:
        """Put the car as it is on the disk, so that no crash takes it."""
        if not self.sitting.is_touched and self.shelf is None:
            return
        try:
            self.shelf = self.shelf or DraftStore(self.folder)
            self.shelf.keep(self.sitting.draft, self.sitting.step)
        except OSError as error:
            words = error.strerror or str(error)
            self.foot.warn(f"What you type can't be kept on the disk: {words}.")

    def finish(self) -> None:
        """Hand the car over; its copy here goes once the board has it on the disk."""
        if not self.sitting.is_whole():
            self.sitting.go("last")
            return
        self.keep()
        setup = self.sitting.finished_setup
        is_kept = self.hand_over(setup)
        self.is_finished = True
        self.finished.emit(setup)
        if self.shelf is not None:
            self.shelf.discard() if is_kept else self.shelf.leave()
        self.close()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask what becomes of a car that isn't finished."""
        self._timer.stop()
        if self.is_finished or not (self.sitting.is_touched or self.shelf):
            event.accept()
            return
        self.keep()
        answer = self.ask_closing(self)
        if answer == "stay":
            event.ignore()
        elif self.shelf is not None:
            self.shelf.discard() if answer == "throw away" else self.shelf.leave()


def paper_of(widget: QWidget) -> Paper:
    """Return the paper that a widget's palette looks like."""
    return "dark" if widget.palette().window().color().lightness() < 128 else "light"


def first_draft() -> Draft:
    """Return an empty car, with the one coordinate that is known: x counts from the wheel."""
    draft = new_draft()
    return draft.typed("front.wheel_centre.x", TypedText("0"))


def _unkept() -> bool:
    return False


def measure_car(
    parent: QWidget | None,
    session: Session | None = None,
    folder: Path | None = None,
    keep: Keep = _unkept,
    left: Unfinished | None = None,
) -> MeasureWindow:
    """Open the guide for a new car, or on one left unfinished; the session opens it measured."""
    window = MeasureWindow(folder=folder, parent=parent)
    if session is not None:
        window.hand_over = partial(_hand_over, session, _open, keep)
    if left is None:
        window.offer_unfinished()
    else:
        window.take_up(left)
    return _shown(window)


def go_on_measuring(
    parent: QWidget | None,
    session: Session | None,
    setup: Setup,
    folder: Path | None = None,
    keep: Keep = _unkept,
) -> MeasureWindow:
    """Open the guide for a car that lacks measurements, as a file read with `partial` may."""
    window = MeasureWindow(setup, folder=folder, parent=parent)
    if session is not None:
        window.hand_over = partial(_hand_over, session, _open, keep)
    return _shown(window)


def correct_car(
    parent: QWidget | None,
    session: Session,
    key: str = "",
    folder: Path | None = None,
    keep: Keep = _unkept,
) -> MeasureWindow:
    """Open the guide on the session's car to correct what was measured, as one undoable step."""
    setup = session.history.value.having(units=session.units)
    window = MeasureWindow(setup, correcting=True, folder=folder, parent=parent)
    if key:
        window.sitting.go(window.sitting.step_of(key))
    elif steps := _steps_of_end(window.sitting.draft, session):
        window.sitting.go(steps[0].key)
    window.hand_over = partial(_hand_over, session, hand_correction_over, keep)
    return _shown(window)


def _steps_of_end(draft: Draft, session: Session) -> Sequence[Step]:
    """Return the guide's steps through the end of the car that is shown."""
    own = (part for part in given_parts(draft) if part.system is session.system)
    return next((part.steps(draft) for part in own), ())


def _shown(window: MeasureWindow) -> MeasureWindow:
    window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    window.setWindowModality(Qt.WindowModality.WindowModal)
    window.show()
    return window


def _hand_over(
    session: Session, put: Callable[[Session, Setup], None], keep: Keep, setup: Setup
) -> bool:
    """Put a car on the board, and tell whether it is on the disk from there."""
    put(session, setup)
    return keep()


def _open(session: Session, setup: Setup) -> None:
    session.open(setup, None, saved=False)


def hand_correction_over(session: Session, setup: Setup) -> None:
    """Put what was corrected in a sitting on the board, as one step."""
    before = session.history.value
    leaves, were = leaves_in(setup.readings), leaves_in(before.readings)
    same = with_leaves(before, leaves) if leaves and len(leaves) == len(were) else before
    after = same.having(
        title=setup.title,
        evidence=setup.readings,
        within=setup.within,
        point_notes=setup.point_notes,
        heights=setup.heights,
        tapes=setup.tapes,
        marks=setup.marks,
        planes=setup.planes,
        notes=setup.notes,
    )
    if after != before:
        session.commit(after, correction_words(before, after))
        moved = moved_heights(before, after, QLocale().decimalPoint())
        if words := " ".join(filter(None, (moved, gone_tapes_words(before, after)))):
            session.said.emit(words)


def correction_words(before: Setup, after: Setup) -> str:
    """Return what was corrected, as undo says it."""
    keys = {**before.readings, **after.readings}
    changed = [key for key in keys if before.readings.get(key) != after.readings.get(key)]
    if not changed and before.within != after.within:
        return "say how well it is measured"
    if not changed:
        return "correct notes of the measurement"
    first = f"correct measured {point_words(changed[0], after.readings)}"
    return first if len(changed) == 1 else f"{first} and {len(changed) - 1} more"
