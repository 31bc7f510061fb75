"""Reading wants, room, adjusters, targets, gauge, proposals and clearances of a setup file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from app.document.checks import Checker, did_you_mean, found_words, strange
from app.document.clearances import Clearance, Envelope
from app.document.ends import ENDS
from app.document.model import Value
from app.document.plan_pieces import TOGETHER_FIELDS, Kinds, Read
from app.document.plans import Adjuster, Aim, Gauge, Room, Together, Want
from app.document.read_alignment import AlignmentReader
from app.document.read_clearances import ClearanceReader
from app.document.read_values import Tables
from app.document.read_wants import WantReader
from app.document.toml_layout import Path
from geometry.dataclass import dataclass


@dataclass(frozen=True)
class Plans:
    """All that a file gives of these."""

    wants: tuple[Want, ...]
    rooms: dict[str, Room]
    adjusters: dict[str, Adjuster]
    aims: dict[str, Aim]
    gauge: dict[str, Gauge]
    together: tuple[Together, ...]
    envelopes: tuple[Envelope, ...]
    clearances: tuple[Clearance, ...]


def read_plans(
    check: Checker,
    tables: Tables,
    values: Mapping[str, Value],
    changes: Sequence[str],
    kinds: Kinds,
) -> Plans:
    """Return the plans of a file, noting faults in the checker.

    `values` are the measured ones, `changes` the names of the changes, `kinds` those of results.
    """
    ends = [(end, check.table((end,), tables[end])) for end in ENDS if end in tables]
    seekers = [WantReader(check, end, table, values, kinds) for end, table in ends]
    aligners = [AlignmentReader(check, end, table, values, kinds) for end, table in ends]
    clearers = [ClearanceReader(check, end, table, values, kinds) for end, table in ends]
    envelopes = tuple(envelope for clearer in clearers for envelope in clearer.envelopes())
    rows = check.tables(("together",), tables["together"]) if "together" in tables else []
    together = [_together(check, path, row, changes) for path, row in rows]
    return Plans(
        tuple(want for seeker in seekers for want in seeker.wants()),
        _merged(seeker.rooms() for seeker in seekers),
        _merged(aligner.adjusters() for aligner in aligners),
        _merged(aligner.aims() for aligner in aligners),
        _merged(aligner.gauge() for aligner in aligners),
        tuple(each for each in together if each is not None),
        envelopes,
        tuple(each for clearer in clearers for each in clearer.clearances(envelopes)),
    )


def _merged(parts: Iterable[Mapping[str, Read]]) -> dict[str, Read]:
    return {key: value for part in parts for key, value in part.items()}


def _together(
    check: Checker, path: Path, row: Mapping[str, Any], changes: Sequence[str]
) -> Together | None:
    before = len(check.faults)
    for name in strange(row, TOGETHER_FIELDS):
        check.unknown((*path, name), TOGETHER_FIELDS)
    title = check.text((*path, "name"), row["name"]) if "name" in row else None
    if "name" not in row:
        check.fault((*path, "name"), "missing", 'text in quotes, as "…"')
    names = row.get("changes")
    if not isinstance(names, list) or not names:
        found = "missing" if names is None else f"found {found_words(names)}"
        check.fault((*path, "changes"), found, 'names of changes, as ["…", "…"]')
        return None
    for place, name in enumerate(names):
        if not isinstance(name, str) or name not in changes:
            hint = did_you_mean(name, changes) if isinstance(name, str) else ""
            words = f"{found_words(name)} is no change of this file"
            check.fault((*path, "changes", place), words, "a change's name", hint)
    if before != len(check.faults):
        return None
    return Together(title or "", tuple(names))
