"""Dialogs and jobs of the window: each loads what it needs when it is first asked for."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QMainWindow

from app.desk.notice import Notice
from app.document.keys import KEYS
from app.document.model import Setup
from app.filing.filing import Filing, has_half_measured, measuring_folder
from app.filing.recovery_writer import RecoveryWriter
from app.panels.curves.curves import CurvesPanel
from app.session.session import Session

if TYPE_CHECKING:
    from app.entry.draft_store import Unfinished


class AskedJobs(QMainWindow):
    """What menus, keys and buttons of a window of one car ask for."""

    session: Session
    filing: Filing
    keeper: RecoveryWriter
    notice: Notice
    curves: CurvesPanel

    def edit_point(self, key: str) -> None:
        """Type a point's place."""
        if key in KEYS:
            from app.desk.point_editor import PointEditor

            PointEditor(self.session, key, self).show_at(self.cursor().pos())

    def measure_new(self) -> None:
        """Enter a new car, point by point."""
        if self.filing.may_leave():
            from app.entry.guide import measure_car

            self.notice.hide()  # the guide offers what was left half measured
            measure_car(self, self.session, keep=self.keeper.keep)

    def go_on_measuring(self, setup: Setup) -> None:
        """Go on with a car that was measured in part."""
        from app.entry.guide import go_on_measuring

        go_on_measuring(self, self.session, setup, keep=self.keeper.keep)

    def measure_again(self, key: str = "") -> None:
        """Correct or complete what was measured, beginning at a key."""
        from app.entry.guide import correct_car

        self.filing.let_go()
        correct_car(self, self.session, key, keep=self.keeper.keep)

    def half_measured(self) -> tuple[Unfinished, ...]:
        """Return the cars that were left half measured, the latest first."""
        if not has_half_measured():
            return ()
        from app.entry.draft_store import unfinished

        return unfinished(measuring_folder())

    def offer_half_measured(self) -> None:
        """Offer the car that was last left half measured, without a dialog."""
        cars = self.half_measured()
        if cars and self.notice.isHidden():
            words = f"“{cars[0].title}” was left half measured {cars[0].day}."
            if len(cars) > 1:
                words += f" {len(cars) - 1} more: File, Open recent."
            self.notice.offer(words, "Go on with it", partial(self.go_on_with, cars[0]), "Later")

    def go_on_with(self, car: Unfinished) -> None:
        """Go on measuring a car where it was left, unless it was finished meanwhile."""
        now = next((waiting for waiting in self.half_measured() if waiting.path == car.path), None)
        if now is None:
            self.session.said.emit(f"“{car.title}” isn't left half measured any more.")
        elif self.filing.may_leave():
            from app.entry.guide import measure_car

            self.notice.hide()
            measure_car(self, self.session, keep=self.keeper.keep, left=now)

    def save_sheet(self) -> None:
        """Save the setup sheet as PDF."""
        from app.desk.printing import save_sheet

        save_sheet(self.session, self.filing, date.today())

    def save_template(self) -> None:
        """Save the holes to drill at full size, as PDF or DXF."""
        from app.desk.printing import save_template

        save_template(self.session, self.filing, date.today())

    def print_sheet(self) -> None:
        """Preview and print the setup sheet."""
        from app.desk.printing import print_sheet

        print_sheet(self.session, self.filing, self, date.today())

    def export(self, what: str) -> None:
        """Save drawing, curves or a table as a file."""
        from app.desk.exporting import export

        export(self.session, self.filing, what, self.curves, date.today())

    def copy(self, what: str) -> None:
        """Put drawing or curves as a picture, or a table as text, on the clipboard."""
        from app.desk.exporting import copy

        copy(self.session, self.filing, what, self.curves, date.today())

    def show_steps(self) -> None:
        """Show the history of steps."""
        from app.desk.steps_list import show_steps

        show_steps(self.session, self)

    def show_details(self) -> None:
        """Ask for what the sheet says beside figures."""
        from app.desk.car_details import CarDetails

        CarDetails(self.session, self).exec()

    def take_readings(self) -> None:
        """Ask for what gauges read, and work it into what was measured."""
        from app.document.as_read import ways_of
        from app.entry.as_read import ReadingsDialog

        setup = self.session.history.value
        ReadingsDialog(setup, self.session.units, ways_of(setup), self.session.commit, self).exec()

    def take_floor(self) -> None:
        """Ask for three places of floor or frame, and turn the points by them."""
        from app.desk.levelling import LevellingDialog

        LevellingDialog(self.session, self).exec()

    def take_tape(self) -> None:
        """Ask for a tape between the two points that are selected, or any two."""
        from app.panels.lists.tapes_table import take_tape

        take_tape(self.session, self)

    def compare(self) -> None:
        """Show proposals side by side."""
        from app.desk.comparing import ComparingDialog

        ComparingDialog(self.session, self).exec()

    def show_guide(self) -> None:
        """Show the user guide and what else is written on the program."""
        from app.desk.guide_window import show_guide

        show_guide(self)

    def show_keys(self) -> None:
        """Show the help on keys and mouse."""
        from app.desk.help import show_keys

        show_keys(self)

    def show_about(self) -> None:
        """Show version and cautions."""
        from app.desk.help import show_about

        show_about(self)
