"""`wishboard import`: a list laid over datum points, told and written."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from app.cli.commands import run
from app.document.files import read_setup
from tests.document.examples import COIL
from tests.document.test_point_list import DATUM, SETUP, as_listed, in_axes_of_the_other_hand
from tests.helpers.project import SAMPLE_FOLDER

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


def in_inches(text: str) -> str:
    head, *lines = text.split("\n")
    cells = [line.split(",") for line in lines]
    turned = (",".join([c[0], *(repr(float(n) / 25.4) for n in c[1:])]) for c in cells)
    return "\n".join([head, *turned])


def one_off(text: str) -> str:
    head, first, *lines = text.split("\n")
    name, x, *rest = first.split(",")
    return "\n".join([head, ",".join([name, repr(float(x) + 12.0), *rest]), *lines])


@pytest.mark.parametrize(
    ("spoilt", "words"),
    [
        (in_inches, "25.4 times smaller than the car"),
        (in_axes_of_the_other_hand, "its axes are left-handed"),
        (one_off, "Without “front.lower_front” the others would lie within 0.0 mm"),
    ],
)
def test_a_list_that_does_not_fit_is_not_written(
    spoilt: Callable[[str], str],
    words: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    car, points, new = (tmp_path / name for name in ("car.toml", "list.csv", "new.toml"))
    car.write_text(COIL)
    points.write_text(spoilt(as_listed(SETUP, *DATUM, NEW)))
    call = ["import", str(car), str(points), "--datum", *DATUM, "-o", str(new)]
    assert run(call, lambda _: 0) == 1
    told = capsys.readouterr()
    assert words in " ".join(told.out.split())
    assert "nothing is taken over" in told.err
    assert not new.exists()
    assert run([*call, "--json"], lambda _: 0) == 1
    assert json.loads(capsys.readouterr().out)["fits"] is False
    assert run([*call, "--despite-misfit"], lambda _: 0) == 0
    assert read_setup(new).setup.point_notes[NEW] == f"from list.csv: {NEW}"


def test_a_name_of_both_ends_is_asked_about(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    saloon, points = SAMPLE_FOLDER / "small_saloon.toml", tmp_path / "list.csv"
    text = as_listed(read_setup(saloon).setup, *DATUM, "front.damper_body", "front.spring_body")
    text = text.replace("front.damper_body", "damper_body").replace("front.spring", "spring")
    points.write_text(text)
    call = ["import", str(saloon), str(points), "--datum", *DATUM]
    asked = "“damper_body” may be front.damper_body or rear.damper_body: say which with --name."
    assert run([*call, "--json"], lambda _: 0) == 0
    keys = [point["key"] for point in json.loads(capsys.readouterr().out)["points"][-2:]]
    assert keys == [None, "front.spring_body"]
    assert run(call, lambda _: 0) == 0
    assert asked in " ".join(capsys.readouterr().out.split())
    assert run([*call, "front.damper_body"], lambda _: 0) == 1
    assert f"--datum front.damper_body: {asked}" in capsys.readouterr().err
    assert run([*call, "--name", "damper_body=front.damper_body"], lambda _: 0) == 0
    assert "may be" not in capsys.readouterr().out
