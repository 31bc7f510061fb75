"""How near parts come to each other: figures, limit, and the pose in which they do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from app.document.units import NO_VALUE
from app.paper.faces import FINE, SMALL, SMALL_STRONG, Face
from app.paper.flow import Block, kept
from app.paper.parts import Column, heading, paragraph, row
from app.paper.sizes import Paper
from app.systems.answers import Study
from app.systems.clearance.clearances import driver_of
from app.systems.clearance.results import title_of
from app.systems.clearance.words import ClearanceRow, clearance_rows

_ROW = 4.6
_WHERE = 3.9
_OVER = {"steer": "travel and steer", "roll": "either wheel's travel"}


def clearance_blocks(
    study: Study[Any], paper: Paper, decimal: str, is_stopped: bool = False
) -> list[Block]:
    """Return every clearance with the least that both cars leave; nothing where there is none."""
    rows = clearance_rows(study, decimal)
    if not rows:
        return []
    left = paper.margin
    columns = [
        Column(left, 66.0, "left"),
        Column(left + 90.0, 24.0),
        Column(left + 114.0, 24.0),
        Column(left + 120.0, paper.inner - 144.0, "left"),
        Column(paper.right, 24.0),
    ]
    heads = ("", "as found", "as built", "limit", "")
    if not study.changed:
        heads = ("", "", "as found", "limit", "")
    head = row(columns, [(words, FINE) for words in heads], 4.4)
    where = [Column(left + 3.0, paper.inner - 3.0, "left")]
    blocks: list[Block] = []
    for each in rows:
        has_where = bool(each.where) and not is_stopped
        figures = row(columns, _cells(each, study, is_stopped), _ROW, rule=not has_where)
        blocks.append(replace(figures, repeats=head, keeps=has_where))
        if has_where:
            blocks.append(replace(row(where, [(each.where, FINE)], _WHERE), repeats=head))
    title = f"Clearances, the least over {_OVER[driver_of(study)]}"
    return kept([heading(title, left), head, *blocks, *_who_says(rows, paper)])


def _cells(each: ClearanceRow, study: Study[Any], is_stopped: bool) -> list[tuple[str, Face]]:
    face = SMALL_STRONG if each.past and not is_stopped else SMALL
    verdict = "can't be told" if is_stopped and each.limit else each.verdict
    return [
        (each.title, SMALL),
        (each.found if study.changed else "", SMALL),
        (NO_VALUE if is_stopped else each.built, face),
        (each.limit, SMALL),
        (verdict, face),
    ]


def _who_says(rows: Sequence[ClearanceRow], paper: Paper) -> list[Block]:
    """Return who or what set the limits, all in one paragraph."""
    clearances = dict.fromkeys(each.check.clearance for each in rows)
    authors = [f"{title_of(each)}: {each.by}" for each in clearances if each.by]
    words = f"Set by: {'; '.join(authors)}." if authors else ""
    return paragraph(words, paper.margin, paper.inner, FINE, 0.8) if authors else []
