"""What a search found as a table: the car as found, as it stands, and each answer in a column."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from app.document.edits import free_name
from app.document.ends import end_of
from app.document.model import Setup, Units
from app.document.plain_text import upper_first
from app.document.plans import Together
from app.judge.compare import BEST, PAST, CompareRow, Comparison, comparison
from app.judge.found import Answer, Reached, Search
from app.judge.found_words import (
    bound_words,
    broken_words,
    enough_words,
    gives_words,
    move_words,
    price_words,
    same_words,
    still_words,
    stop_words,
    times_the_move,
    want_words,
)
from app.judge.told_answers import GIVES, AnswerCell, AnswerRow, AnswerTable
from app.words.results import is_zero, limit_words, result_number, result_unit

AS_IT_STANDS = "As it stands"
AT_REST = ("travel", "roll", "steer")


def answer_table(setup: Setup, search: Search, units: Units, decimal: str) -> AnswerTable:
    """Return the table of a search in a reader's units."""
    answers = (search.answer, *search.others)
    shown = _beside_each_other(setup, answers).having(units=units)
    compared = comparison(shown, ())
    before = len(compared.columns) - len(answers)
    rows = [
        *_rows_of_words(answers, before, units, decimal, any(c.on for c in setup.changes)),
        *_rows_of_figures(setup, compared, answers, units, decimal),
    ]
    heads = [column.name for column in compared.columns[:before]]
    heads += [f"Answer {number}" for number in range(1, len(answers) + 1)]
    changes = [None] * before + [answer.setup.changes[-1] for answer in answers]
    notes = tuple(same_words(search.answer, search))
    return AnswerTable(tuple(heads), tuple(rows), tuple(changes), notes, search.answer.is_met)


def _beside_each_other(setup: Setup, answers: Sequence[Answer]) -> Setup:
    """Return the setup with each answer's change, and the proposals that these make."""
    on = tuple(change.name for change in setup.changes if change.on)
    wide, together = setup, [Together(AS_IT_STANDS, on)] if on else []
    for number, answer in enumerate(answers, start=1):
        change = answer.setup.changes[-1]
        name = free_name(wide, f"{change.name}, answer {number}")
        wide = wide.having(changes=(*wide.changes, replace(change, name=name)))
        together.append(Together(f"Answer {number}", (*on, name)))
    return wide.having(together=tuple(together))


def _rows_of_words(
    answers: Sequence[Answer], before: int, units: Units, decimal: str, is_further: bool
) -> Iterator[AnswerRow]:
    def stops(answer: Answer) -> list[str]:
        bounds = [f"{upper_first(bound_words(answer, name))}." for name in answer.at_bound]
        return [*bounds, *stop_words(answer, units, decimal)]

    tellers: list[tuple[str, Callable[[Answer], Sequence[str]]]] = [
        (
            "What moves further" if is_further else "What moves",
            lambda answer: [*move_words(answer, units, decimal)] or [still_words(answer)],
        ),
        ("Size of the move", lambda answer: _size_words(answer, answers, decimal)),
        ("What gives", lambda answer: [*_gives(answer, units, decimal)]),
        ("What stops it", stops),
        ("More room", lambda answer: [*price_words(answer, units, decimal)]),
        ("Past a limit", lambda answer: [*broken_words(answer, units, decimal)]),
    ]
    for head, tell in tellers:
        lines = [tell(answer) for answer in answers]
        if any(lines):
            mark = PAST if head == "Past a limit" else GIVES if head == "What gives" else ""
            cells = [AnswerCell("\n".join(each), mark if each else "") for each in lines]
            yield AnswerRow(head, (*(AnswerCell() for _ in range(before)), *cells))


def _size_words(answer: Answer, answers: Sequence[Answer], decimal: str) -> list[str]:
    """Return how large a move is beside that of the first answer; nothing where it is the only."""
    best = answers[0]
    if answer is best:
        return ["1"] if len(answers) > 1 else []
    more = [enough_words(answer)] if answer.is_enough else []
    times = f"{times_the_move(answer, best):.1f}".replace(".", decimal)
    return [f"{times} times that of answer 1", *more]


def _gives(answer: Answer, units: Units, decimal: str) -> Iterator[str]:
    """Yield each want that gives, and by how much."""
    for each in answer.wants:
        if not each.is_met:
            yield gives_words(answer, each, units, decimal)


def _rows_of_figures(
    setup: Setup,
    compared: Comparison,
    answers: Sequence[Answer],
    units: Units,
    decimal: str,
) -> Iterator[AnswerRow]:
    """Yield what is wanted, what has a limit, then what is asked first and changes."""
    want_numbers = {want.result: number for number, want in enumerate(setup.wants)}
    rows = {f"{row.system}.{row.result.key}": row for row in compared.rows}
    has_both = len({row.system for row in compared.rows}) > 1
    for name, number in want_numbers.items():
        if name in rows:
            reached = answers[0].wants[number]
            head = _wanted_head(answers[0], reached, has_both, units, decimal)
            yield _figures(head, rows[name], units, decimal)
    others = [
        row for name, row in rows.items() if name not in want_numbers and _is_told(row, units)
    ]
    for row in sorted(others, key=lambda row: row.limit is None):
        yield _figures(_title(row, has_both, units, decimal), row, units, decimal)


def _wanted_head(
    answer: Answer, reached: Reached, has_both: bool, units: Units, decimal: str
) -> str:
    """Return a want in a line: "Front: Camber gain: wanted −0.500°/25 mm (± 0.01)"."""
    title, _, wanted, within, _, unit, _ = want_words(answer, reached, units, decimal)
    end = end_of(reached.want.result)
    title = f"{end.capitalize()}: {title}" if has_both else title
    gap = "" if unit.startswith("°") or not unit else " "
    if reached.want.keep:
        return f"{title}: wanted {wanted} (± {within}{gap}{unit})"
    return f"{title}: wanted {wanted}{gap}{unit} (± {within})"


def _title(row: CompareRow, has_both: bool, units: Units, decimal: str) -> str:
    unit = result_unit(row.result, units)
    title = f"{row.system.capitalize()}: {row.result.title}" if has_both else row.result.title
    title = f"{title}, {unit}" if unit else title
    if row.limit is None:
        return title
    return f"{title} ({limit_words(row.limit, row.result, units, decimal=decimal)})"


def _is_told(row: CompareRow, units: Units) -> bool:
    """Tell whether a result is asked about and differs, or has a limit."""
    if row.result.key in AT_REST:
        return False
    if row.limit is not None:
        return True
    if row.result.asked is None and not row.result.first:
        return False
    values = [cell.value for cell in row.cells if cell.value is not None]
    return bool(values) and not is_zero(max(values) - min(values), row.result, units)


def _figures(head: str, row: CompareRow, units: Units, decimal: str) -> AnswerRow:
    cells = []
    for place, cell in enumerate(row.cells):
        sides = [cell.value] if cell.right is None else [cell.value, cell.right]
        numbers = [result_number(side, row.result, units, decimal=decimal) for side in sides]
        mark = PAST if cell.is_kept is False else BEST if place in row.best else ""
        cells.append(AnswerCell(" / ".join(dict.fromkeys(numbers)), mark))
    return AnswerRow(head, tuple(cells), is_figures=True)
