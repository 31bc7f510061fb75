"""`wishboard align`: jobs in a shop's words, and an object for other programs."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from pathlib import Path

import pytest

from app.cli.commands import run
from tests.helpers.long_cases import typical_of

PLANS = """
[front.adjusters]
upper_shims = { at = ["upper_front", "upper_rear"], inboard = true, fitted = [3.0, 3.0], \
sizes = [1.0, 2.0], most = 9.0, apart = 6.0 }
tie_rod = { reach = [-10.0, 10.0], pitch = 1.5 }
[front.targets]
camber = { is = 0.0, within = 0.25 }
caster = { is = 3.0, within = 0.3 }
toe_total = { is = 0.2, within = 0.08 }
[front.gauge]
left = { camber = 0.8, caster = 2.1, toe = 0.15 }
right = { camber = 0.6, caster = 2.4, toe = 0.05 }

"""


def ran(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], plans: str, *more: str
) -> tuple[int, str, str]:
    saloon = Path("sample_setups/small_saloon.toml").read_text()
    car = tmp_path / "car.toml"
    car.write_text(saloon.replace("[[change]]", f"{plans}[[change]]", 1))
    status = run(["align", str(car), *more], lambda _: 0)
    out = capsys.readouterr()
    return status, out.out, out.err


def test_json_names_bolts_shims_turns_and_what_is_left(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    answer = json.loads(ran(tmp_path, capsys, PLANS, "--json")[1])
    assert answer["gauged"] is True
    assert answer["order"] == ["upper_front", "upper_rear", "tie_rod"]
    for side, read in (("left", 0.8), ("right", 0.6)):
        wheel = answer[side]
        assert wheel["read"]["camber"] == pytest.approx(read)
        assert set(wheel["packs_mm"]) == {"upper_front", "upper_rear"}
        assert set(wheel["turns"]) == {"tie_rod"}
        for name in ("camber", "caster", "toe"):
            assert wheel["reached"][name] + wheel["remaining"][name] == pytest.approx(
                answer["targets"][name]
            )
        assert wheel["met"]
    per_mm = answer["sensitivities"][0]
    assert (per_mm["adjuster"], per_mm["per"]) == ("upper_front", "mm")
    assert per_mm["camber_deg"] < 0.0  # inboard at the top: it leans in


def test_a_shop_reads_packs_and_turns(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = ran(tmp_path, capsys, PLANS)
    assert status == 0
    assert "1 Upper arm, front pivot: " in out
    assert "more than fitted (caster and camber)" in " ".join(out.split())
    assert "Tie rod: " in out
    assert "Upper arm, rear pivot, 1.0 mm more" in out


def test_without_a_gauge_it_says_where_it_starts(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ungauged = PLANS[: PLANS.index("[front.gauge]")]
    assert "No gauge was read" in ran(tmp_path, capsys, ungauged)[1]


def test_what_is_missing_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = ran(tmp_path, capsys, "")
    assert (status, out) == (1, "")
    assert "the front has no adjusters" in err


@pytest.mark.parametrize("fitted", typical_of(("[3.0, 3.0]", "[2.25, 3.125]"), ("[2.25, 3.125]",)))
def test_printed_shims_add_up_to_the_printed_pack(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], fitted: str
) -> None:
    sizes = "sizes = [0.1, 0.25, 0.5, 1.0, 3.0], most = 9.0"
    plans = PLANS.replace("sizes = [1.0, 2.0], most = 9.0", sizes)
    plans = plans.replace("fitted = [3.0, 3.0]", f"fitted = {fitted}")
    out = " ".join(ran(tmp_path, capsys, plans)[1].split())
    packs = re.findall(r"pivot[a-z, ]*: ([\d.]+) mm \(([\d. +]+)\), ([\d.]+) mm more than", out)
    assert len(packs) == 4
    was = 2 * list(map(Decimal, fitted.strip("[]").split(",")))
    for (whole, pieces, more), before in zip(packs, was, strict=True):
        assert sum(map(Decimal, pieces.split("+"))) == Decimal(whole) == before + Decimal(more)
