"""Page 1, the work order: what to do, what to set, what it does, and what to watch."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from typing import Any, Final

from app.document.model import Setup
from app.document.plain_text import lower_first
from app.document.units import NO_VALUE
from app.judge.whole_car import all_sentences
from app.paper.faces import (
    FINE,
    HEADING,
    JOB,
    SMALL,
    SMALL_STRONG,
    STRONG,
    TEXT,
    Face,
    width_of,
    wrapped,
)
from app.paper.flow import Block, flow, height_of, kept, spaced, voided
from app.paper.ink import GREY, MIDDLE, THICK, THIN, Ink
from app.paper.parts import Column, heading, paragraph, row
from app.paper.sizes import Paper
from app.sheet.heads import BODY, FOOT
from app.sheet.place_table import place_blocks
from app.sheet.targets_table import target_blocks
from app.shop.idle import idle_notes
from app.shop.jobs import jobs
from app.shop.outcomes import Outcome
from app.shop.stops import LEFT_OUT
from app.shop.subject import Subject
from app.shop.work import effects
from app.systems.answers import Study
from app.systems.cautions import cautions_of
from app.systems.jobs import Job
from app.systems.sentence import Sentence
from app.words.drilling import drill_words

BOX: Final = 5.6  # side of a box to tick [mm]
INDENT: Final = 16.5
APART: Final = 1.6  # between two parts of a job with a box each
LINE: Final = 5.0
STOP: Final = "Stop: this can't be as proposed. Ask before any work starts."
LONG: Final = 60.0  # a job that is higher may be parted [mm]


def work_order(
    subject: Subject, paper: Paper, decimal: str, drilled: Collection[str] = ()
) -> list[Block]:
    """Return the blocks of the work order; templates of the ends that are `drilled` follow it."""
    room = paper.height - BODY - FOOT
    work = _work(subject, paper, decimal)
    cautions, signatures = _before_you_start(subject, paper), _signatures(paper)
    remark, target = _remark(subject.setup, paper), _to_set(subject, paper, decimal, drilled)
    notes = idle_notes(subject.studies)
    all_by_study = [(s, all_sentences(s, subject.car, decimal)) for s in subject.studies]
    stops = [each.text for s, told in all_by_study for each in told if s.changed and each.stops]
    sentences_by_study = [
        (s, [each for each in told if each.text not in (*notes, *stops)])
        for s, told in all_by_study
        if s.system.key not in subject.stopped
    ]
    if subject.stopped:
        stops.append(LEFT_OUT)
    first = [*_stop(stops, paper), *_particulars(subject.setup, paper)]
    full, brief = (
        _effects(subject, sentences_by_study, paper, decimal, pressing)
        for pressing in (False, True)
    )
    for own_effects in (full, brief):  # what merely is so is left to the results, if need be
        blocks = _signed([*first, *work, *target, *own_effects, *remark, *cautions], signatures)
        if height_of(blocks) <= room:
            return blocks
    # The cautions stay with the work: under it, or before it where that doesn't fit one page.
    fits = height_of([*first, *work, *cautions]) <= room
    start = [*first, *work, *cautions] if fits else [*first, *cautions, *work]
    either = [
        _signed([*start, *target, *own_effects, *remark], signatures)
        for own_effects in (full, brief)
    ]
    return min(either, key=lambda blocks: len(flow(blocks, BODY, BODY + room)))


def _signed(blocks: list[Block], signatures: list[Block]) -> list[Block]:
    """Return blocks with the signatures, which never stand on a page by themselves."""
    return [*blocks[:-1], *(replace(block, keeps=True) for block in blocks[-1:]), *signatures]


def _particulars(setup: Setup, paper: Paper) -> list[Block]:
    """Return a line with customer and author, where they are given."""
    values = setup.evidence
    facts = [
        f"{words}: {values[key]}"
        for key, words in (("sheet.customer", "Customer"), ("sheet.made_by", "Made by"))
        if values.get(key)
    ]
    return paragraph("   ·   ".join(facts), paper.margin, paper.inner, SMALL) if facts else []


# Work to do


def _work(subject: Subject, paper: Paper, decimal: str) -> list[Block]:
    todo = jobs(subject.studies, decimal)
    head = heading("Work to do", paper.margin, gap=2.5)
    notes = [
        block
        for words in idle_notes(subject.studies)
        for block in paragraph(words, paper.margin + INDENT, paper.inner - INDENT, SMALL, 0.8)
    ]
    if not todo:
        words = "No change is on: this sheet records the car as it was measured."
        if any(study.changed for study in subject.studies):
            words = "Nothing is to be done at this end: this sheet records it."
        elif notes:
            words = "Nothing is to be done: this sheet records the car as it was measured."
        return [head, *paragraph(words, paper.margin, paper.inner, TEXT), *notes]
    lines = [line for number, job in enumerate(todo, 1) for line in _job(job, number, paper)]
    drilling = [] if subject.stopped else _drilling(subject, paper, decimal)
    return [head, *(voided(lines) if subject.stopped else lines), *drilling, *notes]


def _drilling(subject: Subject, paper: Paper, decimal: str) -> list[Block]:
    """Return how near to their places the holes must be, of each end that says so."""
    told = [
        (study.system.title, study.bands.drill_within)
        for study in subject.studies
        if study.bands is not None and study.bands.drill_within is not None
    ]
    blocks: list[Block] = []
    for title, within in told:
        words = drill_words(within, subject.setup.units, decimal)
        named = f"{title}: {lower_first(words)}" if len(told) > 1 else words
        blocks += paragraph(named, paper.margin + INDENT, paper.inner - INDENT, SMALL_STRONG, 0.8)
    return blocks


def _job(job: Job, number: int, paper: Paper) -> list[Block]:
    """Return a job: a number, a box for each part, smaller words; only a long one goes overleaf."""
    left, width = paper.margin, paper.inner - INDENT
    titles = [
        (line, index == 0)
        for part in job.ticks
        for index, line in enumerate(wrapped(part, JOB, width))
    ]
    details = [line for text in job.details for line in wrapped(text, SMALL, width)]
    blocks = [
        _title_line(line, has_box, str(number) if index == 0 else "", left)
        for index, (line, has_box) in enumerate(titles)
    ]
    blocks += [_detail_line(line, left + INDENT) for line in details]
    blocks.append(_job_end(paper))
    if height_of(blocks) > LONG:
        start, end = len(titles) + 2, len(blocks) - 3  # two lines stay on either side
        blocks = [*kept(blocks[:start]), *blocks[start:end], *kept(blocks[end:])]
        return spaced(blocks, 1.8)
    return spaced(kept(blocks), 1.8)


def _title_line(line: str, has_box: bool, number: str, left: float) -> Block:
    def paint(ink: Ink, top: float) -> None:
        baseline = top + 0.78 * JOB.line
        if has_box:
            ink.box(left, baseline - 0.5 * (JOB.rise + BOX), BOX, BOX, MIDDLE)
        ink.write(left + 14.0, baseline, number, JOB, "right")
        ink.write(left + INDENT, baseline, line, JOB)

    return Block(JOB.line, paint, APART if has_box and not number else 0.0)


def _detail_line(line: str, x: float) -> Block:
    return Block(SMALL.line, lambda ink, top: ink.write(x, top + 0.78 * SMALL.line, line, SMALL))


def _job_end(paper: Paper) -> Block:
    def paint(ink: Ink, top: float) -> None:
        ink.rule((paper.margin, top + 1.4), (paper.right, top + 1.4), THIN, GREY)

    return Block(1.5, paint)


# Alignment


def _to_set(subject: Subject, paper: Paper, decimal: str, drilled: Collection[str]) -> list[Block]:
    """Return the tables of what is set and read, with room for readings."""
    blocks: list[Block] = []
    for study in subject.studies:
        is_stopped = study.system.key in subject.stopped
        blocks += place_blocks(
            study, paper, decimal, subject.has_several, is_stopped, study.system.key in drilled
        )
    for study in subject.studies:
        title, rows = study.system.targets(study, decimal)
        is_stopped = study.system.key in subject.stopped
        if is_stopped:
            rows = tuple(replace(target, wanted=(NO_VALUE,), within="") for target in rows)
        blocks += target_blocks(title, study, rows, paper, decimal, is_stopped)
    return blocks


# What it does


Told = Sequence[tuple[Study[Any], Sequence[Sentence]]]


def _effects(
    subject: Subject, sentences_by_study: Told, paper: Paper, decimal: str, pressing: bool
) -> list[Block]:
    """Return what the work does to each end concerned, or only the important part of that."""
    blocks: list[Block] = []
    for study, sentences_of_it in sentences_by_study:
        title = "What it does" if study.changed else "What stands out"
        where = f" at the {study.system.key}" if subject.has_several else ""
        effect_blocks = _what_it_does(study, paper, decimal, sentences_of_it, pressing)
        blocks += (
            [heading(f"{title}{where}", paper.margin), *effect_blocks] if effect_blocks else []
        )
    return blocks


def _what_it_does(
    study: Study[Any], paper: Paper, decimal: str, all_sentences: Sequence[Sentence], pressing: bool
) -> list[Block]:
    """Return results before and after and further sentences, or only important sentences."""
    car_effects = effects(study, all_sentences, decimal, pressing)
    heads = [(words, FINE) for words in ("", "as found", "as built", "")]
    table = kept(
        [
            row(_outcome_columns(paper), heads, 4.4),
            *(_outcome_row(outcome, paper) for outcome in car_effects.outcomes),
        ]
        if car_effects.outcomes
        else []
    )
    return [
        *table,
        *(block for sentence in car_effects.sentences for block in _sentence(sentence, paper)),
    ]


def _outcome_columns(paper: Paper) -> list[Column]:
    left = paper.margin
    return [
        Column(left, 66.0, "left"),
        Column(left + 83.0, 17.0),
        Column(left + 109.0, 25.0),
        Column(left + 113.0, paper.inner - 113.0, "left"),
    ]


def _outcome_row(outcome: Outcome, paper: Paper) -> Block:
    columns = _outcome_columns(paper)
    face = SMALL_STRONG if outcome.past else SMALL
    meaning = outcome.meaning
    if width_of(meaning, face) > columns[-1].width:
        meaning = meaning.replace(", limit:", "\nlimit:").replace(", past its", ",\npast its")
    first, *more = wrapped(meaning, face, columns[-1].width)
    if not outcome.before:  # a step has the room of both figures
        columns[2] = replace(columns[2], width=2 * columns[2].width)
    cells = [(outcome.title, TEXT), (outcome.before, TEXT), (outcome.after, STRONG), (first, face)]
    line = row(columns, cells, LINE, rule=not more)
    height = LINE + len(more) * SMALL.line

    def paint(ink: Ink, top: float) -> None:
        line.paint(ink, top)
        for index, words in enumerate(more, 1):
            baseline = top + 0.5 * (LINE + TEXT.rise) + index * SMALL.line
            ink.write(columns[-1].x, baseline, words, face)
        if more:
            ink.rule((paper.margin, top + height), (paper.right, top + height), THIN, GREY)

    return Block(height, paint)


def _sentence(sentence: Sentence, paper: Paper) -> list[Block]:
    wrong = sentence.severity == "wrong"
    face = STRONG if wrong else TEXT
    mark = "!" if wrong else "·"
    return kept(paragraph(sentence.text, paper.margin, paper.inner, face, 0.5, mark))


def _remark(setup: Setup, paper: Paper) -> list[Block]:
    remark = str(setup.evidence.get("sheet.remark", "")).strip()
    if not remark:
        return []
    return [heading("Remark", paper.margin), *paragraph(remark, paper.margin, paper.inner, TEXT)]


# Cautions and signatures


def _before_you_start(subject: Subject, paper: Paper) -> list[Block]:
    """Return the cautions in a thick frame; they stay on one page."""
    texts = cautions_of(subject.studies)
    return [framed("Before you start", texts, SMALL, paper)] if texts else []


def _stop(texts: Sequence[str], paper: Paper) -> list[Block]:
    """Return why the proposal can't be made or can't stand, in a thick frame; nothing if it can."""
    return [replace(framed(STOP, texts, STRONG, paper), gap=2.0)] if texts else []


def framed(title: str, texts: Sequence[str], face: Face, paper: Paper) -> Block:
    """Return texts under a title in a thick frame."""
    inner = paper.inner - 9.0
    lines = [
        (line, index == 0)
        for text in texts
        for index, line in enumerate(wrapped(text, face, inner - 4.0))
    ]
    height = 9.4 + sum(face.line + (0.5 if first else 0.0) for _, first in lines) + 1.6

    def paint(ink: Ink, top: float) -> None:
        ink.box(paper.margin, top, paper.inner, height, THICK)
        ink.write(paper.margin + 4.5, top + 6.6, title, HEADING)
        at = top + 8.6
        for line, first in lines:
            at += 0.5 if first else 0.0
            baseline = at + 0.78 * face.line
            ink.write(paper.margin + 4.5, baseline, "·" if first else "", SMALL_STRONG)
            ink.write(paper.margin + 8.5, baseline, line, face)
            at += face.line

    return Block(height, paint, gap=4.0)


def _signatures(paper: Paper) -> list[Block]:
    """Return room for what was done otherwise, and for the names; at the foot of the page."""

    def paint(ink: Ink, top: float) -> None:
        left, right, width = paper.margin, paper.right, paper.inner / 2 - 4.0
        words = "Found on the way, or done otherwise:"
        ink.write(left, top + 4.0, words, SMALL)
        ink.rule((left + width_of(words, SMALL) + 2.0, top + 4.6), (right, top + 4.6), THIN)
        for start, name in ((left, "done by, date"), (right - width, "checked by, date")):
            ink.rule((start, top + 13.5), (start + width, top + 13.5), THIN)
            ink.write(start, top + 16.8, name, FINE)

    return [Block(17.2, paint, gap=2.0, sinks=True)]
