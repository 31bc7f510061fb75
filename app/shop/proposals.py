"""The proposals of a car beside each other as rows, and what each makes of it in words. No Qt."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from functools import lru_cache
from typing import Final

from app.document.model import Setup, Units
from app.document.units import NO_VALUE, number_of
from app.judge.compare import BEST, PAST, CompareRow, Comparison
from app.judge.compare_bands import has_bands, studies_of, telling
from app.judge.known_comparison import known_comparison
from app.judge.whole_car import all_sentences
from app.shop.results import AT_REST
from app.systems.sentence import Sentence
from app.words.results import limit_words, result_number, result_unit, value_places
from geometry.dataclass import dataclass

FEW: Final = 3  # proposals of which there is room to say more
SENTENCES: Final = 4, 3  # of each of a few proposals, and of many: the weightiest first
OWN: Final = 2, 1  # more of them at most, on what isn't told of every proposal
STANDS: Final = "settled_travel"  # told by how the car stands, which may be held
_WEIGHT: Final = {"wrong": 0, "watch": 1, "plain": 2}


@dataclass(frozen=True)
class Figure:
    """A figure of one car, and the sign beside it: best of its row, or past its limit."""

    text: str
    mark: str = ""


@dataclass(frozen=True)
class ProposalRow:
    """A result of every car, the car as found first; `limit` in words."""

    end: str
    title: str
    limit: str
    figures: tuple[Figure, ...]


@dataclass(frozen=True)
class ProposalWords:
    """A proposal: its name, the changes that make it, and what they make of the car."""

    number: int
    name: str
    changes: tuple[str, ...]
    sentences: tuple[Sentence, ...]


@dataclass(frozen=True)
class ProposalPage:
    """All that a page on the proposals says."""

    words: tuple[ProposalWords, ...]
    rows: tuple[ProposalRow, ...]
    has_bands: bool = False


def compared_setup(setup: Setup) -> Setup | None:
    """Return a setup with the proposals that can be compared; None where it names none."""
    names = {change.name for change in setup.changes}
    together = tuple(filter(None, (each.only(names) for each in setup.together)))
    return setup.having(together=together) if together else None


def proposal_page(setup: Setup, decimal: str = ".") -> ProposalPage | None:
    """Return what a page says of the proposals that a setup names; None where it names none.

    Figures have their bands where those are known already.

    Raises
    ------
    GeometryError
        The car as found can't be built.
    """
    whole = compared_setup(setup)
    if whole is None:
        return None
    compared = known_comparison(whole)
    return _page(whole, decimal, _Same(compared))


class _Same:
    """A comparison that is the same as itself alone: its arrays are too many to compare."""

    def __init__(self, compared: Comparison) -> None:
        self.compared = compared
        self.told = telling(compared)

    def __hash__(self) -> int:
        return hash(self.told)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.told == self.told


@lru_cache(maxsize=4)
def _page(setup: Setup, decimal: str, same: _Same) -> ProposalPage:
    compared = same.compared
    told = [_sentences(compared, place, decimal) for place in range(1, len(compared.columns))]
    built = [
        each for each, column in zip(told, compared.columns[1:], strict=True) if column.studies
    ]
    subjects = [{_about(sentence) for sentence in each} for each in built]
    common = set.intersection(*subjects) if subjects else set()
    words = (
        ProposalWords(
            number, column.name, column.changes, _first(told[number - 1], common, len(told) > FEW)
        )
        for number, column in enumerate(compared.columns)
        if number
    )
    return ProposalPage(tuple(words), tuple(_rows(compared, decimal)), has_bands(compared))


def _sentences(compared: Comparison, place: int, decimal: str) -> list[Sentence]:
    """Return all that is said of a proposal, the weightiest first; no side that is open."""
    column = compared.columns[place]
    if column.refusal:
        return [Sentence(column.refusal, "wrong", stops=True)]
    studies = studies_of(compared, place)
    worked = [study for study in studies if study.has_work]
    told = [each for study in worked for each in all_sentences(study, studies, decimal)]
    return sorted(told, key=lambda each: _WEIGHT[each.severity])


def _about(sentence: Sentence) -> str:
    """Return what a sentence is about, whatever its figures are."""
    return sentence.result_key or "".join(c for c in sentence.text if not c.isdigit())


def _first(
    told: Sequence[Sentence], common: Collection[str], is_one_of_many: bool
) -> tuple[Sentence, ...]:
    """Return the first sentences, and of the others those not told of every proposal."""
    most, most_own = SENTENCES[is_one_of_many], OWN[is_one_of_many]
    own = [each for each in told[most:] if _about(each) not in common]
    return (*told[:most], *own[:most_own])


def _rows(compared: Comparison, decimal: str) -> Iterator[ProposalRow]:
    """Yield the rows that say something: those with a limit, and those that aren't all alike."""
    units = compared.setup.units
    for end in dict.fromkeys(row.system for row in compared.rows):
        told = [_stands(compared, end, decimal)]
        for row in compared.rows:
            if row.system == end and row.is_first and row.result.key not in (*AT_REST, STANDS):
                told += _sides(row, units, decimal)
        yield from (each for each in told if each.limit or not _is_alike(each, compared))
    yield from (row for row in _corner(compared, decimal) if not _is_alike(row, compared))


def _is_alike(row: ProposalRow, compared: Comparison) -> bool:
    """Tell whether a row says the same of every car that can be built."""
    both = zip(row.figures, compared.columns, strict=True)
    return len({figure.text for figure, column in both if column.studies}) == 1


def _sides(row: CompareRow, units: Units, decimal: str) -> Iterator[ProposalRow]:
    """Yield the row of a result, of unlike wheels one each."""
    unit, limit = result_unit(row.result, units), ""
    if row.limit is not None:
        limit = limit_words(row.limit, row.result, units, decimal=decimal)
    sides = ("",) if all(cell.right is None for cell in row.cells) else ("left", "right")
    for side in sides:
        title = ", ".join(filter(None, (row.result.title, side, unit)))
        yield ProposalRow(
            row.system, title, limit, tuple(_figures(row, side == "right", units, decimal))
        )


def _figures(row: CompareRow, is_right: bool, units: Units, decimal: str) -> Iterator[Figure]:
    for place, cell in enumerate(row.cells):
        value, within = cell.of_side(int(is_right))
        text = cell.text(row.result, units, int(is_right), decimal)
        if within is None and value is not None and row.limit is not None:
            places = value_places(value, row.limit, row.result, units)
            text = result_number(value, row.result, units, decimal=decimal, places=places)
        band = cell.band_text(row.result, units, int(is_right), decimal)
        text = f"{text} {band}" if band else text
        mark = PAST if cell.is_kept is False else BEST if place in row.best else ""
        yield Figure(text, mark)


def _stands(compared: Comparison, end: str, decimal: str) -> ProposalRow:
    units = compared.setup.units
    travels = [column.stands(end) for column in compared.columns]
    texts = [_number(travel, "length", units, decimal) for travel in travels]
    return ProposalRow(end, f"Stands lower by, {units}", "", tuple(map(Figure, texts)))


def _corner(compared: Comparison, decimal: str) -> Iterator[ProposalRow]:
    cars = [column.balance for column in compared.columns]
    if any(cars):
        units = compared.setup.units
        both = [(None, None) if car is None else (car.roll, car.front_share) for car in cars]
        rolls = [_number(roll, "angle", units, decimal, 1) for roll, _ in both]
        shares = [_number(share, "percent", units, decimal, 0) for _, share in both]
        for title, texts in (
            ("Body roll per g of cornering, °", rolls),
            ("Front's share of the load that changes sides, %", shares),
        ):
            yield ProposalRow("whole car", title, "", tuple(map(Figure, texts)))


def _number(
    value: float | None, kind: str, units: Units, decimal: str, places: int | None = None
) -> str:
    if value is None:
        return NO_VALUE
    return number_of(value, kind, units, decimal=decimal, places=places)
