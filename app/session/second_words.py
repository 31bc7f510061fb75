"""What must be said of a second car: its units, its axle, what it has not, where it can't be."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from PySide6.QtCore import QLocale

from app.document.model import Units
from app.session.session import Session
from app.words.errors import geometry_words

UNITS: Final[dict[Units, str]] = {"mm": "millimetres", "in": "inches"}


def second_words(session: Session) -> Iterator[str]:
    """Yield sentences on the second car that lies over the one that is shown."""
    second, system = session.second, session.system
    if second.laid is None:
        return
    own, shown = second.laid.setup.units, session.units
    if second.laid.proposal is None and own != session.setup.units:
        first = UNITS[session.setup.units]
        yield f"Its file is in {UNITS[own]}, this one in {first}; all is shown in {UNITS[shown]}."
    if second.problem is not None:
        why = geometry_words(
            second.problem, shown, QLocale().decimalPoint(), second.laid.setup.evidence
        )
        yield f"Its {system.key} can't be built: {why}"
    elif second.study is None:
        yield f"It has no {system.key} suspension: nothing of it is shown here."
    else:
        yield from _kinds(session)
        if second.posed is None:
            yield "It can't take this pose: its drawing and figures are left out."


def _kinds(session: Session) -> Iterator[str]:
    study, second = session.study, session.second.study
    if study is None or second is None:
        return
    kind, its = study.proposed.kind, second.proposed.kind
    if kind != its:
        yield (
            f"Its {session.system.key} has {_article(its)}, this car {_article(kind)}: what only "
            "one of them has, has no curve of the other."
        )


def _article(kind: str) -> str:
    return f"{'an' if kind[:1] in 'aeiou' else 'a'} {kind}"
