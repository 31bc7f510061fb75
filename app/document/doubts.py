"""Questions with the place in the file where each value stands, as faults have it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from app.document.checks import spelt
from app.document.files import LoadedSetup
from app.document.keys import KEYS
from app.document.model import Setup
from app.document.plausible import Question, all_questions, told
from app.document.toml_layout import Layout, Path
from geometry.dataclass import dataclass

_MOST: Final = 3  # named beside something else that is wrong


@dataclass(frozen=True, slots=True)
class Doubt:
    """A question with the file's line, None where there is none, and the key as it stands there."""

    question: Question
    line: int | None
    key: str

    @property
    def text(self) -> str:
        """Return what is asked."""
        return told(self.question)

    @property
    def words(self) -> str:
        """Return the question with its place: "line 123: rear.drive.grip: …"."""
        return f"{'' if self.line is None else f'line {self.line}: '}{self.key}: {self.text}"

    def said(self, file: str) -> str:
        """Return the question as a fault of the file is told."""
        return f"{file}{':' if self.line is None else ','} {self.words}"


def doubts(setup: Setup, loaded: LoadedSetup | None = None) -> tuple[Doubt, ...]:
    """Return what looks mistyped; with lines where the values are as they stand in the file."""
    questions = all_questions(setup)
    layout = Layout(loaded.text) if questions and loaded and _stands(setup, loaded.setup) else None
    all_doubts = [_doubt(question, setup, layout) for question in questions]
    return tuple(sorted(all_doubts, key=lambda doubt: doubt.line or 0))


def doubted_first(words: str, doubts_of_setup: Iterable[Doubt], setup: Setup) -> str:
    """Return why a setup can't be built, with what looks mistyped named before it.

    A consequence is easily blamed on a part that is all right. What a change that is off would do
    has no hand in it.
    """
    near = [
        doubt
        for doubt in doubts_of_setup
        if doubt.question.change is None or setup.changes[doubt.question.change].on
    ]
    if not near:
        return words
    more = f" {len(near) - _MOST} more look odd." if len(near) > _MOST else ""
    first = " ".join(doubt.words for doubt in near[:_MOST])
    return f"Before that: {first}{more} If that is right: {words}"


def _stands(setup: Setup, written: Setup) -> bool:
    measured = (setup.readings, setup.within) == (written.readings, written.within)
    return measured and setup.changes in ((), written.changes)


def _doubt(question: Question, setup: Setup, layout: Layout | None) -> Doubt:
    path = _path(question, setup, layout)
    return Doubt(question, None if layout is None else layout.line_of(path), spelt(path))


def _path(question: Question, setup: Setup, layout: Layout | None) -> Path:
    """Return where a value stands, or would stand as it is usually written."""
    spans = {} if layout is None else layout.spans
    if question.change is None:
        place = KEYS[question.key].place
        at = (*place, *(question.part or ("at",)))
        return at if question.part or at in spans else place
    table = "set" if question.key in setup.changes[question.change].sets else "move"
    start: Path = ("change", question.change, table)
    question_path = (*start, question.key, *question.part)
    written = (  # with the key in quotes, or dotted
        path
        for path in spans
        if path[:3] == start and _joined(path[3:]) == _joined(question_path[3:])
    )
    return next(written, question_path)


def _joined(path: Path) -> str:
    return ".".join(map(str, path))
