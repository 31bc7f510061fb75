"""The tapes of the car as a list: what they say together, and what is doubtful."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.document.units import unit_of
from app.panels.figures import decimal_sign
from app.panels.folding import FoldTitle
from app.panels.widgets import EDGE, FlatButton, Panel, small_label
from app.qt.border import fenced
from app.qt.tips import tip
from app.session.session import Session

if TYPE_CHECKING:
    from app.judge.survey import Survey, TapeRow


@fenced
class TapesPanel(Panel):
    """Shown where the car has tapes: a list, what they say together, and what can be done."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, "Tapes", parent)
        self._shown: object = None
        self._is_built = False
        session.setup_changed.connect(self._follow)
        session.units_changed.connect(self._follow)
        self._follow()

    def _build(self) -> None:
        """Make what a car without tapes does without; a start has no time for it."""
        from app.panels.lists.tapes_table import TapesTable, take_tape

        self._is_built = True
        self.table = TapesTable(self.session)
        self.says = small_label()
        self.says.setContentsMargins(EDGE, 0, EDGE, 2)
        self.leave_out = FlatButton("Leave it out and see", "Leave the doubtful tape out and see")
        self.leave_out.clicked.connect(self._leave_doubtful_out)
        self.add = FlatButton("Tape…", "Enter a tape between two points (T)")
        self.add.clicked.connect(lambda *_: take_tape(self.session, self))
        self.fold = FoldTitle("Tapes", "tapes")
        self.take_title(self.fold)
        self.head.addWidget(self.add)
        self.body = QWidget()
        rows = QVBoxLayout(self.body)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(2)
        rows.addWidget(self.says)
        rows.addWidget(self.leave_out, 0, Qt.AlignmentFlag.AlignLeft)
        rows.addWidget(self.table)
        self.rows.addWidget(self.body)
        self.fold.folds(self.body)

    @property
    def survey(self) -> Survey:
        """How the readings agree."""
        from app.judge.survey import survey_of

        return survey_of(self.session.setup)

    def _follow(self) -> None:
        """Show the tapes, unless nothing that was read has changed."""
        setup = self.session.setup
        shown = (setup.tapes and self.survey, setup.tapes, self.session.units)
        if shown == self._shown:
            return
        self._shown = shown
        self.setVisible(bool(setup.tapes))
        if not setup.tapes:
            return
        from app.judge.survey_words import survey_sentences, tapes_words

        if not self._is_built:
            self._build()
        survey, spoken = self.survey, setup.having(units=self.session.units)
        unit = unit_of("length", self.session.units)
        doubt = " – look again" if survey.doubtful else ""
        self.fold.show_text(f"{tapes_words(len(setup.tapes))} ({unit}){doubt}")
        words = survey_sentences(spoken, survey, decimal_sign())
        self.says.setText(words[0] if words else "")
        self.says.setToolTip(tip("\n".join(words)))
        self.leave_out.setVisible(self._doubtful() is not None)
        self.table.show_rows(spoken, survey)

    def _doubtful(self) -> TapeRow | None:
        """Return the tape that is doubted first."""
        rows = self.survey.tapes
        far = next((row for row in rows if row.is_far), None)
        first = next((doubt.tape for doubt in self.survey.doubts if doubt.tape), 0)
        return far or (rows[first - 1] if first else None)

    def _leave_doubtful_out(self) -> None:
        row = self._doubtful()
        if row is not None:
            from app.panels.lists.tapes_table import leave_out

            leave_out(self.session, row.number)
