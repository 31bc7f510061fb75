"""The pages that may follow a sheet: proposals, alignment, spring orders, drill templates."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from PySide6.QtCore import QSettings

from app.paper.flow import Block
from app.paper.sizes import Paper
from app.sheet.alignment_page import alignment_sections
from app.sheet.proposals_page import proposal_sections
from app.sheet.spring_page import spring_sections
from app.sheet.template_page import template_sections
from app.shop.extras import ALL_EXTRAS, EXTRAS, Extra
from app.shop.subject import Subject
from app.shop.template import templates, within_told


def extra_sections(
    subject: Subject, paper: Paper, room: float, decimal: str, extras: Collection[Extra]
) -> Iterator[tuple[str, list[Block]]]:
    """Yield the pages that are wanted and that the work on the sheet calls for.

    Nothing is ordered or drilled for an end that can't be as proposed.
    """
    setup = subject.setup
    if "proposals" in extras:
        yield from proposal_sections(setup, paper, decimal)
    studies = [study for study in subject.studies if study.system.key not in subject.stopped]
    if "alignment" in extras and any(study.system.is_aligned for study in studies):
        yield from alignment_sections(setup, paper, decimal)
    if "spring-order" in extras:
        for study in studies:
            yield from spring_sections(study, paper, decimal)
    if "template" in extras:
        ends = {study.system.key for study in studies}
        drilled = [each for each in templates(setup) if each.end in ends]
        drilled = within_told(drilled, subject.studies)
        yield from template_sections(drilled, setup.units, paper, room, decimal)


def drilled_ends(subject: Subject) -> frozenset[str]:
    """Return the ends on the sheet of which holes are drilled."""
    ends = {study.system.key for study in subject.studies} - subject.stopped
    return frozenset(each.end for each in templates(subject.setup)) & ends


def chosen_extras() -> tuple[Extra, ...]:
    """Return the pages that the user wants with each sheet: the usual ones, until one is chosen."""
    return tuple(
        extra for extra in ALL_EXTRAS if QSettings().value(_setting(extra), extra in EXTRAS, bool)
    )


def choose_extra(extra: Extra, is_wanted: bool) -> None:
    """Keep whether the user wants these pages with each sheet."""
    QSettings().setValue(_setting(extra), is_wanted)


def _setting(extra: Extra) -> str:
    return f"sheet/with-{extra}"
