"""`wishboard find`: wants and rooms of the call, the answer, the car with it."""

from __future__ import annotations

import json
from math import degrees
from pathlib import Path

import pytest

from app.cli.commands import run
from app.document.files import read_setup
from app.systems.every import LIMIT_KINDS
from app.systems.front.system import FRONT
from tests.helpers.long_cases import LONG

SALOON = "sample_setups/small_saloon.toml"
ASKED = (
    "--want",
    "camber_gain_deg_per_mm=-0.02",
    "roll_centre_height_mm<=120",
    "--room",
    "front.upper_front.z=-35:5",
    "front.tie_outer.z=-5:8",
    "--alike",
    "front.upper_front,front.upper_rear",
)


def ran(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    status = run(["find", *words], lambda _: 0)
    out = capsys.readouterr()
    return status, out.out, out.err


def test_json_tells_wants_moves_and_the_written_car_has_them(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    new = tmp_path / "new.toml"
    answer = json.loads(ran(capsys, SALOON, *ASKED, "--json", "-o", str(new))[1])
    first, second = answer["wants"]
    assert first["name"] == "front.camber_gain_deg_per_mm"
    assert first["wanted"] == -0.02
    assert first["reached"] == pytest.approx(-0.02, abs=1e-6)
    assert second["wanted"] == {"at_least": None, "at_most": 120.0}
    assert answer["all_met"] is True
    assert answer["moves"]["front.upper_front"] == answer["moves"]["front.upper_rear"]
    assert answer["batches"] <= 60
    setup = read_setup(new, limit_kinds=LIMIT_KINDS).setup
    assert setup.changes[-1].on
    gain = FRONT.study(setup).proposed.rest.values["camber_gain"][0, 0]
    assert degrees(gain) == pytest.approx(first["reached"], abs=1e-9)
    assert "# An invented car to begin with" in new.read_text()  # remarks stay


def test_a_shop_reads_moves_in_its_steps(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    new = tmp_path / "new.toml"
    status, out, _ = ran(capsys, SALOON, *ASKED, "--step", "0.5", "-o", str(new))
    assert status == 0
    assert "What does it" in out
    assert "Upper arm, front pivot: " in out
    moves = read_setup(new, limit_kinds=LIMIT_KINDS).setup.changes[-1].moves
    assert moves
    for move in moves.values():
        assert all(abs(2 * part - round(2 * part)) < 1e-9 for part in move)


def test_what_stops_it_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    words = ("--want", "camber_gain_deg_per_mm=-0.05", *ASKED[3:])
    status, out, _ = ran(capsys, SALOON, *words)
    assert status == 0
    assert "not all can be had" in out
    assert "gives" in out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--want", "camber_gian_deg_per_mm=1"), "Did you mean"),
        (("--want", "weight_kg=3"), "name a result as in report --json"),
        (("--want", "camber_deg=x"), "“x” is no number"),
        (("--want", "camber_deg=nan"), "“nan” is no number"),
        (("--want", "camber_deg=0", "--room", "front.upper_front.z=-inf:5"), "“-inf” is no number"),
        ((*ASKED, "--step", "0"), "a step is more than nothing"),
        ((*ASKED, "--step", "-1"), "a step is more than nothing"),
        (("--want", "camber_deg=0", "camber_deg<=1"), "wanted already"),
        (("--want", "camber_deg>=1", "camber_deg<=0"), "at least is above at most"),
        (("--want", "camber_deg=0", *ASKED[3:5], ASKED[4]), "has its room already"),
        (("--want", "camber_deg=0", "--room", "front.upper_front.z=5"), "say from and to"),
        (("--want", "camber_deg=0", "--room", "front.upper_front.z=5:-5"), "is above"),
        (
            ("--want", "camber_deg=0", "--room", "front.uper_front.z=-5:5"),
            "Did you mean front.upper_front",
        ),
        (("--want", "camber_deg=0", "--alike", "front.upper_front"), "two points or more"),
        (("--want", "camber_deg=0"), "nothing may move"),
        ((), "Nothing is wanted"),
    ],
)
def test_what_cannot_be_sought_is_said(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], told: str
) -> None:
    status, out, err = ran(capsys, SALOON, *words)
    assert status in (1, 2)
    assert out == ""
    assert told in err


def test_at_least_and_at_most_of_one_result_are_one_want(
    capsys: pytest.CaptureFixture[str],
) -> None:
    wants = ("--want", "camber_deg>=-0.2", "camber_deg<=-0.1")
    words = (SALOON, *wants, "--room", "front.upper_front.y=-15:15", "--json")
    (want,) = json.loads(ran(capsys, *words)[1])["wants"]
    assert want["wanted"] == {"at_least": -0.2, "at_most": -0.1}
    assert want["within"] == 0.02
    assert want["reached"] == pytest.approx(-0.1, abs=1e-3)


@pytest.mark.parametrize(
    ("name", "words", "told"),
    [
        pytest.param(
            "small_saloon",
            ("wheel_rate_n_per_mm=30", "--room", "front.spring.rate=55:66"),
            "Spring rate 1 N/mm more would bring",
            marks=LONG,
        ),
        (
            "inch_sedan",
            ("camber_deg=-5", "--room", "front.upper_front.y=-5:5"),
            "0.1 in further inboard would bring",
        ),
    ],
)
def test_a_price_is_told_in_the_units_of_the_file(
    capsys: pytest.CaptureFixture[str], name: str, words: tuple[str, ...], told: str
) -> None:
    _, out, _ = ran(capsys, f"sample_setups/{name}.toml", "--want", *words)
    assert told in " ".join(out.split())
