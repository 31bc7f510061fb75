"""Files of format 1: their limits of gains were per mm, or per inch, and mean what they meant."""

from math import radians
from pathlib import Path

import pytest

from app.document import edits
from app.document.files import read_setup, read_text, text_of, write_setup
from app.document.model import Limit, Setup, Units
from app.document.same import same_setup
from app.systems.every import LIMIT_KINDS
from tests.helpers.project import SAMPLE_FILES

MILLIMETRES = """\
# A car of the older format
format = 1   # the first
title = "x"
units = "mm"

[front.limits]              # what was agreed
bump_steer = 0.0004         # ° per mm
camber_gain = { max = 0, min = -0.04, by = "the owner" }   # leans in
roll_centre_height = 120.0
bump_steer_length = { max = 0.002 }
"""
INCHES = MILLIMETRES.replace('"mm"', '"in"').replace("120.0", "5.0")


def read(text: str) -> Setup:
    return read_text(text, "it", limit_kinds=LIMIT_KINDS, partial=True).setup


def loaded_of(text: str, tmp_path: Path):
    path = tmp_path / "old.toml"
    path.write_text(text)
    return read_setup(path, limit_kinds=LIMIT_KINDS, partial=True)


@pytest.mark.parametrize(
    ("units", "text", "over"), [("mm", MILLIMETRES, 1.0), ("in", INCHES, 25.4)], ids=["mm", "in"]
)
def test_limits_of_gains_in_an_older_file_are_per_mm_or_per_inch(
    units: Units, text: str, over: float
) -> None:
    limits = read(text).limits
    assert limits["front.bump_steer"].maximum == pytest.approx(radians(0.0004) / over)
    assert limits["front.camber_gain"].minimum == pytest.approx(radians(-0.04) / over)
    assert limits["front.camber_gain"].maximum == 0.0
    length = 0.002  # mm per mm, or inches per inch
    assert limits["front.bump_steer_length"].maximum == pytest.approx(length)


@pytest.mark.parametrize(
    ("units", "over"), [("mm", 25.0), ("in", 25.4)], ids=["over 25 mm", "over an inch"]
)
def test_limits_of_gains_are_over_the_travel_that_the_tables_print(
    units: Units, over: float
) -> None:
    text = MILLIMETRES.replace("format = 1", "format = 2").replace('"mm"', f'"{units}"')
    limits = read(text.replace("-0.04", "-1.0")).limits
    assert limits["front.camber_gain"].minimum == pytest.approx(radians(-1.0) / over)


def test_an_older_file_is_saved_in_the_present_format_with_its_remarks(tmp_path: Path) -> None:
    loaded = loaded_of(MILLIMETRES, tmp_path)
    saved = write_setup(loaded.path, loaded.setup, loaded)
    assert saved.text == (
        MILLIMETRES.replace("format = 1", "format = 2")
        .replace("0.0004         #", "0.01           #")
        .replace("-0.04,", "-1.0,")
        .replace('by = "the owner" }   #', 'by = "the owner" }    #')
        .replace("max = 0.002 }", "max = 0.05 }")
    )
    again = read_setup(loaded.path, limit_kinds=LIMIT_KINDS, partial=True)
    assert same_setup(again.setup, loaded.setup)
    assert text_of(again.setup, again) == saved.text


def test_an_older_file_in_inches_keeps_all_its_numbers(tmp_path: Path) -> None:
    loaded = loaded_of(INCHES, tmp_path)
    assert text_of(loaded.setup, loaded) == INCHES.replace("format = 1", "format = 2")


def test_an_edit_of_an_older_file_leaves_the_rest_of_its_text(tmp_path: Path) -> None:
    loaded = loaded_of(MILLIMETRES, tmp_path)
    limit = Limit(-radians(0.5) / 25.0, 0.0, "angle per length", "the owner")
    text = text_of(edits.set_limit(loaded.setup, "front.camber_gain", limit), loaded)
    assert "# A car of the older format" in text
    assert 'camber_gain = { max = 0, min = -0.5, by = "the owner" }    # leans in' in text


@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_limit_of_a_gain_survives_other_units(units: Units) -> None:
    setup = read(MILLIMETRES)
    other = setup.having(units=units)
    assert same_setup(read(text_of(other)), other)


def test_what_is_no_number_is_told_and_not_multiplied() -> None:
    text = MILLIMETRES.replace("0.0004 ", '"much" ').replace("max = 0,", "max = true,")
    with pytest.raises(Exception, match='found the text "much"'):
        read(text)


@pytest.mark.parametrize("path", SAMPLE_FILES, ids=lambda path: path.stem)
def test_the_samples_are_of_the_present_format(path: Path) -> None:
    assert read_setup(path, limit_kinds=LIMIT_KINDS).format == 2
