"""`wishboard import`: a list laid over datum points, told and written."""

import json
from pathlib import Path

import pytest

from app.cli.commands import run
from app.document.files import read_setup
from tests.document.examples import COIL
from tests.document.test_point_list import DATUM, SETUP, as_listed

NEW = "front.upper_ball"


def ran(tmp_path: Path, capsys: pytest.CaptureFixture[str], *more: str) -> tuple[int, str, str]:
    car, points = tmp_path / "car.toml", tmp_path / "list.csv"
    car.write_text(COIL)
    points.write_text(as_listed(SETUP, *DATUM, NEW).replace(NEW, "P7"))
    status = run(["import", str(car), str(points), *more], lambda _: 0)
    out = capsys.readouterr()
    return status, out.out, out.err


def test_the_list_is_told_and_the_car_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    new = tmp_path / "new.toml"
    status, out, _ = ran(tmp_path, capsys, "--datum", *DATUM, "--name", f"P7={NEW}", "-o", str(new))
    assert status == 0
    assert "Taken over as measured" in out
    assert "The list lies within 0.0 mm of its datum points." in out
    setup = read_setup(new).setup
    assert setup.readings[NEW] == pytest.approx(SETUP.readings[NEW], abs=1e-3)
    assert "# strut rod" in new.read_text().lower()  # remarks stay


def test_json_has_places_and_misfits(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = ran(tmp_path, capsys, "--datum", *DATUM, "--name", f"P7={NEW}", "--json")
    answer = json.loads(out)
    assert answer["worst_misfit_mm"] < 1e-6
    last = answer["points"][-1]
    assert (last["listed"], last["key"], last["role"]) == ("P7", NEW, "taken over")
    assert last["place_mm"] == pytest.approx(SETUP.readings[NEW], abs=1e-3)
    assert last["misfit_mm"] is None
    assert answer["points"][0]["misfit_mm"] == pytest.approx([0.0] * 3, abs=1e-6)


@pytest.mark.parametrize(
    ("more", "status", "words"),
    [
        (("--datum", *DATUM[:2]), 2, "Three or more datum points"),
        (("--datum", *DATUM, "front.right.damper"), 2, "the car doesn't say where that is"),
        (("--datum", *DATUM, NEW), 1, "no point of the list is called so"),
        (("--datum", *DATUM, "--name", "P8=front.upper_ball"), 2, "the list has no point “P8”"),
        (("--datum", *DATUM, "--name", "P7=front.uper_ball"), 2, "no point or mark front.uper"),
        (("--datum", *DATUM, "--name", f"P7={DATUM[0]}"), 1, "are both front.lower_front"),
        ((), 2, "--datum"),
    ],
)
def test_what_cannot_be_laid_is_refused(
    more: tuple[str, ...],
    status: int,
    words: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    answer, _, err = ran(tmp_path, capsys, *more)
    assert answer == status
    assert words in err
