"""`wishboard report --within`: how far each figure may be off stands beside it."""

from __future__ import annotations

import re
from math import degrees
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from app.cli.arguments import parse_call
from app.cli.refused import Refused
from app.cli.report_bands import ends_with_bands
from app.cli.report_text import report_text
from app.cli.terminal import Terminal
from app.document.model import FrozenMap, Limit, Setup
from app.judge.bands import bands_of
from app.judge.cars import Asked
from app.systems.answers import value_at_rest
from app.systems.front.system import FRONT
from app.systems.report import Report
from app.words.bands import is_open
from geometry.catalogue.front import BY_KEY
from tests.helpers.front_setups import front_setup
from tests.helpers.known_setups import LOWERED, known

HERE = Path("car.toml")
FEW = 40
WIDE = Terminal(width=200)


def limited(value: float) -> Setup:
    limits = {"front.camber_gain": Limit(minimum=value, kind="angle per length")}
    return known(LOWERED).having(limits=FrozenMap(limits))


@pytest.fixture(scope="module")
def told() -> Report:
    """The front with a limit that its own figure just keeps: nobody knows whether it does."""
    study = FRONT.study(known(LOWERED))
    gain = value_at_rest(study.proposed, BY_KEY["camber_gain"])
    assert gain is not None
    study = FRONT.study(limited(gain - abs(gain) * 1e-3))
    (end,) = ends_with_bands([FRONT.report(study)], HERE, FEW)
    return end


def row(text: str, title: str) -> list[str]:
    line = next(line for line in text.splitlines() if line.startswith(f"  {title} "))
    return re.split(r"  +", line.strip())


def test_no_figure_has_more_digits_than_its_band_which_is_that_of_the_judge(told: Report) -> None:
    text = report_text([told], HERE, WIDE)
    assert "± holds in about 95 of 100 cars" in text
    keys = ["roll_centre_height", "caster", "camber_gain"]
    bands = bands_of(told.study, Asked("travel", np.array([0.0])), keys, 0)
    assert bands is not None
    for title, key, size in (
        ("Roll centre height", "roll_centre_height", 1.0),
        ("Caster", "caster", 1.0 / degrees(1.0)),
        ("Camber gain", "camber_gain", 1.0 / degrees(25.0)),  # ± 0.04 as found, 0.03 as built
    ):
        _, *figures = row(text, title)
        for (value, within), band in zip(
            zip(figures[0:6:2], figures[1:6:2], strict=True),
            (bands.found[key], bands.built[key], bands.moves[key]),
            strict=True,
        ):
            places = len(within.partition(".")[2])
            assert len(value.partition(".")[2]) == places
            known_within = float(band.within.ravel()[0]) / size
            assert float(within) == pytest.approx(known_within, abs=0.5001 * 10.0**-places)


def test_a_limit_that_nobody_can_be_sure_of_is_said_with_its_probability(told: Report) -> None:
    bands = told.study.bands
    assert bands is not None
    chance = bands.kept["camber_gain"]
    assert is_open(chance)
    text = report_text([told], HERE, WIDE)
    words = f"may or may not be kept: {round(100 * chance)} %"
    assert words in " ".join(row(text, "Camber gain"))
    assert f"may or may not be kept, {round(100 * chance)} %" in re.sub(r"\s+", " ", text)


def test_without_it_the_figures_are_as_ever_and_the_way_to_it_is_said() -> None:
    text = report_text([FRONT.report(FRONT.study(known(LOWERED)))], HERE, WIDE)
    assert "How far each figure may be off: report --within." in text
    assert "±  " not in text
    exact = report_text([FRONT.report(FRONT.study(front_setup()))], HERE, WIDE)
    assert "--within" not in exact


def test_where_nothing_is_known_or_json_is_asked_for_it_is_refused() -> None:
    end: Any = FRONT.report(FRONT.study(front_setup()))
    with pytest.raises(Refused, match="doesn't say how well anything was measured"):
        ends_with_bands([end], HERE)
    with pytest.raises(Refused, match="bands --json"):
        parse_call(["report", "car.toml", "--within", "--json"])
    assert parse_call(["report", "car.toml", "--within"]).within
