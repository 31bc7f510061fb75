"""The words of a work order: at which height figures hold, and what the work does."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from app.document.model import SETTLES
from app.document.plain_text import upper_first
from app.shop.outcomes import Outcome, outcomes
from app.systems.answers import Study
from app.systems.height_words import PITCH_UNKNOWN
from app.systems.sentence import Sentence
from app.systems.standing import leaves_out_pitch
from app.systems.targets import shop_length, stands_by
from geometry.dataclass import dataclass

UNKNOWN: Final = (
    "These figures hold with the wheels at the height at which the car was measured: how far it "
    "settles isn't known."
)
NOWHERE: Final = (
    "These figures hold with the wheels at the height at which the car was measured, and the car "
    "won't stand there: its springs carry the load at no height within reach. Ask before work "
    "starts."
)


@dataclass(frozen=True)
class Effects:
    """Results before and after, and the sentences that say more than those."""

    outcomes: tuple[Outcome, ...]
    sentences: tuple[Sentence, ...]


def standing_words(study: Study[Any], decimal: str) -> str:
    """Say at which height the alignment's figures hold; nothing if at the measured height."""
    by = stands_by(study)
    if by is None:
        return NOWHERE if study.settles_nowhere else UNKNOWN
    if by == 0.0 or not study.changed:
        return ""
    setup = study.setup
    size = shop_length(abs(by), setup.units, decimal, 0)
    how = "settled" if study.choice == SETTLES else "held"
    words = f"With the car on its wheels, {how}: about {size} {'lower' if by > 0 else 'higher'}"
    words = f"{words} at the {study.system.key} than it was found."
    return f"{words} {upper_first(PITCH_UNKNOWN)}." if leaves_out_pitch(study) else words


def effects(
    study: Study[Any], sentences: Sequence[Sentence], decimal: str, pressing: bool
) -> Effects:
    """Return what the work does to a study, or only the important part of that."""
    table = outcomes(study, decimal) if study.changed else ()
    return Effects(
        table,
        tuple(
            sentence
            for sentence in sentences
            if not _repeats(sentence, study, table)
            and not (sentence.severity == "plain" and pressing)
        ),
    )


def _repeats(sentence: Sentence, study: Study[Any], table: Sequence[Outcome]) -> bool:
    """Tell whether the table above it says a sentence already."""
    shown = frozenset(outcome.key for outcome in table)
    past = frozenset(outcome.key for outcome in table if outcome.past)
    return study.system.is_said_by_table(sentence, shown, past)
