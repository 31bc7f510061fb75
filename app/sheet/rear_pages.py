"""The rear's part of the sheet: its drawing, its springs or links, what they do."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.paper.flow import Block, height_of
from app.paper.parts import heading
from app.paper.sizes import Paper
from app.sheet.link_table import link_blocks, link_force_blocks
from app.sheet.pack_table import pack_blocks, stress_blocks
from app.sheet.plots import curve_block, legend
from app.sheet.point_table import point_table
from app.sheet.rear_tables import hop_blocks, torque_blocks
from app.sheet.rear_views import rear_views_block
from app.sheet.result_table import limit_blocks, missing_blocks, note_blocks, result_blocks
from app.sheet.spring_plots import plot_blocks
from app.shop.subject import Subject
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers

TITLE: Final = "Rear suspension"

Section = tuple[str, list[Block]]


def rear_sections(
    study: Study[RearAnswers], subject: Subject, paper: Paper, room: float, decimal: str
) -> Iterator[Section]:
    """Yield the sections of the rear with their names; each begins a page of so much room [mm]."""
    table = point_table(study, paper, decimal)
    views = rear_views_block(study, paper, room, height_of(table), decimal)
    springs = _springs(study, paper, decimal)
    last_blocks = [*_results(study, paper, decimal), *_last(subject, study, paper, decimal)]
    together = height_of([*views, *table]) <= room
    if not together:
        springs = [*table, *springs]
    yield (
        f"{TITLE} · drawing{' and points' if together else ''}",
        [*views, *(table if together else [])],
    )
    name = "springs" if study.proposed.kind == "leaf axle" else "links"
    yield (
        f"{TITLE} · {'' if together else 'points, '}{name}, curves, results",
        [*springs, *last_blocks],
    )


def _springs(study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    blocks = [*pack_blocks(study, paper, decimal), *link_blocks(study, paper, decimal)]
    blocks += link_force_blocks(study, paper, decimal)
    if study.proposed.leaf is None:  # springs that come off needn't be judged
        return [*blocks, *hop_blocks(study, paper, decimal)]
    return [
        *blocks,
        *stress_blocks(study, paper, decimal),
        *plot_blocks(study, paper, decimal),
        *torque_blocks(study, paper, decimal),
        *hop_blocks(study, paper, decimal),
    ]


def _results(study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    return [
        heading("Curves", paper.margin),
        legend(study.changed, paper, study.setup.units, ""),
        curve_block(study, paper, decimal),
        *result_blocks(study, paper, decimal),
        *limit_blocks(study, paper, decimal),
    ]


def _last(subject: Subject, study: Study[RearAnswers], paper: Paper, decimal: str) -> list[Block]:
    """Return notes and what is missing."""
    notes = note_blocks(study.setup, paper, "rear.", text=not subject.has_several)
    return [*notes, *missing_blocks(study, paper)]
