"""The page on the proposals, read back: each cell against the study of its car alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from app.document.model import Limit, Setup
from app.document.plans import Together
from app.judge.whole_car import all_sentences
from app.systems.every import BY_KEY, given_systems
from app.systems.limits import limit_checks, readings
from app.systems.study_results import value_of
from app.words.results import limit_words, result_number, result_unit
from geometry.catalogue.front import JOINTS
from geometry.catalogue.result import Result
from tests.helpers.printed_cells import LEFT, Sheet, Word, cells_of, texts_of
from tests.helpers.sheets import (
    clashes_of,
    needs_poppler,
    printed_whole,
    sample,
    words_of,
)

pytestmark = pytest.mark.gui

ONLY = ("proposals",)
PAST_IT = {"front.camber_gain": Limit(minimum=-1e-4)}  # what lowering does is past it


def six() -> Setup:
    """Six proposals with long names, of both ends, in inches; one can't be built."""
    setup = sample("small_saloon")
    lower, shims, ends, spring, damper, bars, _ = (change.name for change in setup.changes)
    far = replace(setup.changes[0], name="Too far in", on=False)
    far = replace(far, moves=far.moves.having("front.upper_front", (0.0, -400.0, 0.0)))
    sets = {
        "The upper pivots alone, nothing else touched on the whole of the car": (lower,),
        "The outer ends of the tie rods raised as well, to mend the bump steer": (lower, ends),
        "With springs that are firmer, for the hill and for two people in it": (lower, spring),
        "Shims": (shims,),
        "The rear axle alone, a damper and the bars, nothing at the front": (damper, bars),
        "What can't be built": ("Too far in",),
    }
    return setup.having(
        units="in",
        changes=(*setup.changes, far),
        limits=setup.limits.having(*next(iter(PAST_IT.items()))),
        together=tuple(Together(name, names) for name, names in sets.items()),
    )


SETUPS = {"three": sample("small_saloon"), "six, in inches": six()}


@cache
def studies(setup: Setup, names: tuple[str, ...]) -> dict[str, Any]:
    """Return the studies of the car that these changes make."""
    on = setup.having(changes=tuple(replace(c, on=c.name in names) for c in setup.changes))
    return {system.key: system.study(on) for system in given_systems(on)}


@pytest.fixture(name="named", params=SETUPS)
def _named(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Setup, Sheet]:
    setup = SETUPS[request.param]
    return setup, Sheet(printed_whole(setup, tmp_path / "sheet.pdf", extras=ONLY))


def cars(setup: Setup, end: str) -> Iterator[tuple[Any, Any]]:
    """Yield a study and its car for each column; nothing for one that can't be built."""
    as_found = studies(setup, ())[end]
    yield as_found, as_found.measured
    for together in setup.together:
        if "Too far in" in together.changes:
            yield None, None
        else:
            study = studies(setup, together.changes)[end]
            yield study, study.proposed


def table(sheet: Sheet) -> tuple[list[Word], list[list[Word]]]:
    """Return the words at the heads of the columns, and the lines under them."""
    lines = sheet.under("Proposals", "Side by side")
    (first,) = (i for i, line in enumerate(lines) if line[0].text == "as found" and i < 5)
    heads = {word.text for word in lines[first]}
    return lines[first], [line for line in lines[first:] if line[0].text not in heads]


def told(setup: Setup, sheet: Sheet) -> Iterator[tuple[str, str, list[str], list[str]]]:
    """Yield end, title, figures and marks of every row; titles that go on are joined."""
    heads, lines = table(sheet)
    columns = [("right", head.right) for head in heads]
    marks = [("left", head.right + 0.8) for head in heads]
    end, rows = "", list[tuple[str, str, list[str], list[str]]]()
    for line in lines:
        title, *figures = line
        if title.text in ("Front", "Rear", "Whole car"):
            end = title.text.lower()
        elif figures and title.left == pytest.approx(LEFT, abs=0.1):
            cells = cells_of(figures, [*columns, *marks])  # type: ignore[list-item]
            rows.append((end, title.text, cells[: len(heads)], cells[len(heads) :]))
        elif rows and len(line) == 1 and title.left == pytest.approx(LEFT + 3.0, abs=0.1):
            rows[-1] = (rows[-1][0], f"{rows[-1][1]} {title.text}", *rows[-1][2:])
    yield from rows


def titles(setup: Setup, end: str) -> dict[str, tuple[Result, int]]:
    """Return result and wheel by what a row of it may be called."""
    named: dict[str, tuple[Result, int]] = {}
    for result in BY_KEY[end].catalogue:
        unit = result_unit(result, setup.units)
        limit = setup.limits.get(f"{end}.{result.key}")
        words = f" ({limit_words(limit, result, setup.units)})" if limit else ""
        for side, name in ((0, ""), (0, "left"), (1, "right")):
            title = ", ".join(filter(None, (result.title, name, unit)))
            named.setdefault(f"{title}{words}", (result, side))
    return named


def value(car: Any, result: Result, side: int) -> float | None:
    if result.group == JOINTS:
        return max((reading.value for reading in readings(car, result)), default=None)
    found: float | None = value_of(car, result, side)
    return found


def test_every_figure_is_that_of_its_own_car(named: tuple[Setup, Sheet]) -> None:
    setup, sheet = named
    count = 0
    for end, title, figures, _ in told(setup, sheet):
        if end == "whole car":
            continue
        columns = list(cars(setup, end))
        if title.startswith("Stands lower by"):
            size = 1.0 if setup.units == "mm" else 25.4
            for (study, _car), figure in zip(columns[1:], figures[1:], strict=True):
                if study is not None:
                    number = float(figure.replace("−", "-"))
                    assert number == pytest.approx(study.stands / size, abs=0.051)
            continue
        result, side = titles(setup, end)[title]
        for (_, car), figure in zip(columns, figures, strict=True):
            number = None if car is None else value(car, result, side)
            plain = result_number(number, result, setup.units)
            assert figure.startswith(plain[:4]), (title, figure, plain)
            places = len(figure.partition(".")[2])
            assert result_number(number, result, setup.units, places=places) == figure
        count += 1
    assert count > 20


def test_a_sign_stands_at_each_limit_that_isnt_kept_and_at_the_best(
    named: tuple[Setup, Sheet],
) -> None:
    setup, sheet = named
    past = 0
    for end, title, figures, marks in told(setup, sheet):
        if end == "whole car" or title.startswith("Stands"):
            assert not any(marks)
            continue
        result, _ = titles(setup, end)[title]
        for place, (study, _car) in enumerate(cars(setup, end)):
            checks = {} if study is None else {c.result.key: c for c in limit_checks(study)}
            check = checks.get(result.key)
            held = None if check is None else (check.held if place else check.held_before)
            assert (marks[place] == "!") is (held is False), (title, place)
            past += held is False
        if result.key == "bump_steer_range":
            numbers = [float(f.replace("−", "-")) for f in figures if f != "–" and f != "—"]
            for figure, mark in zip(figures, marks, strict=True):
                if mark == "*":
                    assert float(figure) <= min(numbers) + 0.011
            assert "*" in marks
    assert past == (3 if setup.units == "in" else 0)


def test_what_is_left_out_is_alike_on_every_car(named: tuple[Setup, Sheet]) -> None:
    setup, sheet = named
    shown: dict[str, set[str]] = {"front": set(), "rear": set()}
    for end, title, _, _ in told(setup, sheet):
        if end != "whole car" and not title.startswith("Stands"):
            shown[end].add(titles(setup, end)[title][0].key)
    for end, keys in shown.items():
        for result in BY_KEY[end].catalogue:
            if not result.first or result.key in keys or result.key == "settled_travel":
                continue
            texts = {
                result_number(value(car, result, 0), result, setup.units)
                for _, car in cars(setup, end)
                if car is not None and any(each.key == result.key for each in car.results)
            }
            assert len(texts) <= 1, result.title


def test_each_proposal_is_named_with_its_changes_and_its_first_sentences(
    named: tuple[Setup, Sheet],
) -> None:
    setup, sheet = named
    text = " ".join(
        word.text
        for line in sheet.under("Proposals", "What each makes of the car")
        for word in line
    )
    for number, together in enumerate(setup.together, 1):
        assert f"{number} {together.name} Made of: {'; '.join(together.changes)}." in text
        if "Too far in" in together.changes:
            assert "It can't be built:" in text
            continue
        ends = studies(setup, together.changes)
        worked = [study for study in ends.values() if study.has_work]
        first = all_sentences(worked[0], list(ends.values()))[0]
        assert first.text in text


def test_the_page_only_comes_where_it_is_asked_for_and_the_car_has_proposals(
    tmp_path: Path,
) -> None:
    setup = sample("small_saloon")
    assert "Side by side" not in " ".join(texts_of(printed_whole(setup, tmp_path / "a.pdf")))
    without = setup.having(together=())
    path = printed_whole(without, tmp_path / "b.pdf", extras=ONLY)
    assert "Side by side" not in " ".join(texts_of(path))


@needs_poppler
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_no_words_overlap(paper: str, tmp_path: Path) -> None:
    path = printed_whole(six(), tmp_path / "sheet.pdf", paper, extras=ONLY)
    pages = 0
    for text, words in zip(texts_of(path), words_of(path), strict=True):
        if "Proposals" in text:
            pages += 1
            assert not clashes_of(words)
    assert pages >= 2
