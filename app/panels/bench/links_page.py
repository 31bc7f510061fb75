"""The axle on links: forces in roll, bush rates, and the leaf axle beside it."""

from __future__ import annotations

from typing import Final

from app.panels.bench.link_words import compare_rows, force_rows, full_force_rows
from app.panels.bench.rear_page import LINKS, RearPage, said_label, section, show_words
from app.panels.lists.chosen_values import ChosenValues
from app.panels.text_table import TextTable
from app.panels.widgets import EDGE, small_label
from app.session.session import Session
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.compare import fitted_with
from app.systems.rear.shop.link_forces import link_force_tables
from geometry.links.axle import LINK_RATE

KEYS: Final = (
    *("rear.links.lower_rate", "rear.links.upper_rate", "rear.links.lateral_rate"),
    "rear.links.bolt_diameter",
    *("rear.spring.rate", "rear.spring.free_length", "rear.damper.rate"),
)
MODEL: Final = (
    "Five rigid links leave an axle no roll: the bushes carry it. A rate that isn't given counts "
    f"as {LINK_RATE:.0f} N/mm, and wind-up isn't told then; only their proportions change the "
    "axle's path. + pulls."
)
UNKNOWN: Final = "They need the car's mass, its share on the front, unsprung mass, and the coils."
NOTHING_TO_COMPARE: Final = (
    "To compare with leaf springs, the same setup must hold both: measure the springs' points and "
    "leaves as well, and let a change switch the kind of rear suspension."
)


class LinksPage(RearPage):
    """Links."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, LINKS)
        self.forces = TextTable("Force in each link by roll")
        self.full = TextTable("Force in each link, standing, driving and braking")
        self.full_note = small_label("")
        self.full_note.setContentsMargins(EDGE, 0, EDGE, 0)
        self.values = ChosenValues(session, KEYS, "Bushes, coils and dampers")
        self.compared = TextTable("Leaf springs and links side by side")
        self.no_other = said_label()
        model = small_label(MODEL)
        model.setContentsMargins(EDGE, 0, EDGE, 0)
        self.fill(
            [
                section("Force in each link, by degree of roll to the right"),
                self.forces,
                model,
                section("Force in each link, standing, driving and braking"),
                self.full,
                self.full_note,
                section("Bushes, coils and dampers"),
                self.values,
            ],
            [section("Leaf springs and links side by side"), self.compared, self.no_other],
        )

    def refresh(self, study: Study[RearAnswers]) -> None:
        """Show forces, and the other kind of axle where it is given."""
        units = self.session.units
        self.forces.show_rows(force_rows(study, units))
        rows = full_force_rows(study, units)
        self.full.setVisible(bool(rows.rows))
        tables = link_force_tables(study)
        show_words(self.full_note, tables[-1].note if tables else UNKNOWN)
        self.full.show_rows(rows)
        leaf = fitted_with(study.setup, "leaf axle")
        self.compared.setVisible(leaf is not None)
        show_words(self.no_other, "" if leaf is not None else NOTHING_TO_COMPARE)
        if leaf is not None:
            self.compared.show_rows(compare_rows(leaf, study.proposed, units))
