"""`wishboard compare`: columns, and per result a list; a table for people; refusals."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path

import pytest

from app.cli.commands import run

SALOON = "sample_setups/small_saloon.toml"
LOWER, HIGHER = "Upper pivots 22 mm lower", "Outer tie rod ends 2 mm higher"


def ran(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    status = run(["compare", *words], lambda _: 0)
    out = capsys.readouterr()
    return status, out.out, out.err


def test_json_has_columns_and_a_list_per_result(capsys: pytest.CaptureFixture[str]) -> None:
    """As found and as built are those that `report --json` tells of the same file."""
    run(["report", SALOON, "--json"], lambda _: 0)
    report = json.loads(capsys.readouterr().out)
    assert report["changes"] == [LOWER]
    words = ("--with", LOWER, "--with", LOWER, HIGHER, "--json")
    answer = json.loads(ran(capsys, SALOON, *words)[1])
    assert [column["name"] for column in answer["columns"]] == [
        "As found",
        LOWER,
        f"{LOWER} + {HIGHER}",
    ]
    assert answer["columns"][2]["changes"] == [LOWER, HIGHER]
    for end, told in ((answer, report), (answer["rear"], report["rear"])):
        shared = {key for key, value in end.items() if isinstance(value, list)} & set(told["built"])
        swings = {key for key in shared if "_swing_" in key}
        assert len(shared) > 25
        for key in shared - swings:
            found, built, _both = end[key]
            assert [found, built] == [told["found"][key][0], told["built"][key][0]], key
    assert answer["bump_steer_range_deg"][2] != answer["bump_steer_range_deg"][1]
    assert answer["best"]["bump_steer_range_deg"] == [2]
    assert answer["kept"]["bump_steer_range_deg"] == [True, True, True]
    assert answer["balance"]["roll_gradient_deg"][:2] == [
        report["balance"]["found"]["roll_gradient_deg"],
        report["balance"]["built"]["roll_gradient_deg"],
    ]


def test_the_table_numbers_its_cars_and_says_how_they_stand(
    capsys: pytest.CaptureFixture[str],
) -> None:
    status, out, _ = ran(capsys, SALOON, "--with", LOWER, "--with", "Leaf 4 out")
    assert status == 0
    assert f"1 {LOWER}: front 23." in out
    assert "2 Leaf 4 out: rear 19.0 mm lower" in out
    assert "* best of its row, ! past its limit" in out
    assert "Wheel travel" not in out  # says nothing of a car at rest


def test_another_file_is_a_column_of_its_own(capsys: pytest.CaptureFixture[str]) -> None:
    other = "sample_setups/torsion_coupe.toml"
    for words in ((SALOON, other, "--with", LOWER), (SALOON, "--with", LOWER, other)):
        answer = json.loads(ran(capsys, *words, "--json")[1])
        assert answer["columns"][2]["name"].endswith(", as found")
        assert answer["columns"][1]["name"] == LOWER


@pytest.mark.parametrize(
    ("words", "status", "told"),
    [
        ((SALOON, "--with", "Lower it"), 2, "There is no change “Lower it”"),
        ((SALOON, "--with"), 2, "expected at least one argument"),
        ((SALOON, "--with", "sample_setups/torsion_coupe.toml"), 2, "needs the name of a change"),
        ((SALOON, "none.toml"), 1, "none.toml"),
        ((), 2, "FILE"),
    ],
)
def test_what_cannot_be_compared_is_said(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], status: int, told: str
) -> None:
    assert Path(SALOON).exists()
    code, out, err = ran(capsys, *words)
    assert (code, out) == (status, "")
    assert told in err


def test_a_set_that_makes_another_kind_of_axle_takes_no_figure_from_the_others(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Each figure that the car as found has in its own report it has in the columns."""
    coupe = "sample_setups/torsion_coupe.toml"
    run(["report", coupe, "--axle", "rear", "--json"], lambda _: 0)
    found = json.loads(capsys.readouterr().out)["found"]
    columns = json.loads(ran(capsys, coupe, "--json")[1])
    links = [column["changes"] for column in columns["columns"]].index(["Rear axle on links"])
    shared = found.keys() & columns["rear"].keys()
    assert {"spring_load_n", "wind_up_damping"} <= shared
    for key in sorted(shared):
        if isinstance(found[key], list) and found[key][0] is not None and "_swing" not in key:
            assert columns["rear"][key][0] == found[key][0], key
    assert columns["rear"]["wind_up_damping"][links] != columns["rear"]["wind_up_damping"][0]
    assert None not in columns["rear"]["wind_up_damping"]
    assert "wind_up_damping" not in columns["rear"]["best"]  # of two models, not to be compared


def test_clearances_are_told_with_their_limits(capsys: pytest.CaptureFixture[str]) -> None:
    """Gaps are those that `clearance --json` tells of the same file, the nearer side's."""
    car = "sample_setups/taped_saloon.toml"
    run(["clearance", car, "--json"], lambda _: 0)
    alone = json.loads(capsys.readouterr().out)["clearances"]
    on = [change["name"] for change in tomllib.loads(Path(car).read_text())["change"]]
    answer = json.loads(ran(capsys, car, "--with", on[0], "--json")[1])
    told = [*answer["clearances"], *answer["rear"]["clearances"]]
    assert [each["between"] for each in told] == [each["between"] for each in alone]
    for each, one in zip(told, alone, strict=True):
        assert each["gap_mm"][0] == min(side["gap_mm"] for side in one["found"].values())
        assert each["gap_mm"][1] == min(side["gap_mm"] for side in one["built"].values())
        assert each["at_least_mm"] == one["at_least_mm"]
        assert each["kept"] == [one["held_before"], one["held"]]
    table = ran(capsys, car, "--with", on[0])[1]
    assert re.search(r"Tyre to chassis leg +15\.9 +20\.1\* +mm +at least 12\.0 mm", table)
