"""At which height each end of the proposal stands, as a file says it."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.document.edits import set_height
from app.document.faults import SetupFaults
from app.document.files import read_setup
from app.document.reading import read_text
from app.document.rewriting import rewritten
from app.document.same import same_setup
from app.document.samples import sample_paths
from app.document.writer import new_text

TEXTS = {path.stem: path.read_text("utf-8") for path in sample_paths()}
SALOON = TEXTS["small_saloon"]


def with_lines(text: str, *lines: str) -> str:
    return "\n".join([text.rstrip(), "", "[proposal]", *lines, ""])


def faults(text: str) -> list[str]:
    with pytest.raises(SetupFaults) as caught:
        read_text(text)
    return [str(fault) for fault in caught.value.faults]


@pytest.mark.parametrize("name", [name for name in TEXTS if "arch_height" in TEXTS[name]])
@pytest.mark.parametrize("choice", ["as measured", 3.7])
def test_a_choice_is_written_and_read_back(name: str, choice: str | float) -> None:
    setup = read_text(TEXTS[name]).setup
    arch = float(setup.evidence["front.arch_height"])  # type: ignore[arg-type]
    height = choice if isinstance(choice, str) else arch - choice
    chosen = set_height(setup, "front", height)
    for text in (new_text(chosen), rewritten(TEXTS[name], setup, chosen)):
        assert same_setup(read_text(text).setup, chosen)
    back = set_height(chosen, "front", "settles")
    text = rewritten(TEXTS[name], setup, chosen)
    assert read_text(rewritten(text, chosen, back)).setup == setup
    assert "[proposal]" not in rewritten(text, chosen, back)


def test_a_remark_and_the_other_end_stay_when_a_choice_changes() -> None:
    text = with_lines(
        SALOON, 'front_height = "as measured"   # the owner likes it', 'rear_height = "settles"'
    )
    setup = read_text(text).setup
    assert setup.heights == {"front": "as measured"}
    changed = rewritten(text, setup, set_height(setup, "front", 380.0))
    assert "# the owner likes it" in changed
    assert read_text(changed).setup.heights == {"front": 380.0}


def test_units_are_the_files() -> None:
    text = with_lines(TEXTS["inch_sedan"], "front_height = 15.0")
    assert read_text(text).setup.heights == {"front": pytest.approx(381.0)}


def height_fault(line: str, text: str = SALOON) -> str:
    (fault,) = faults(with_lines(text, line))
    return fault


def test_faults_name_line_key_and_what_may_stand_there() -> None:
    number = len(with_lines(SALOON, "x").splitlines())
    fault = height_fault('front_height = "as mesured"')
    assert f":{number}" in fault or f"line {number}" in fault
    assert "proposal.front_height" in fault
    assert "as measured" in fault
    assert "front_height" in height_fault('front_hight = "settles"')
    assert "number" in height_fault("front_height = true")
    assert "the file gives no" not in height_fault("rear_height = [1]")


def test_a_number_needs_the_measured_arch_and_stays_inside_the_stops() -> None:
    setup = read_text(SALOON).setup
    arch = float(setup.evidence["front.arch_height"])  # type: ignore[arg-type]
    bump = float(setup.evidence["front.travel.bump"])  # type: ignore[arg-type]
    fault = height_fault(f"front_height = {arch - bump - 5.0}")
    assert f"{arch - bump:g}" in fault
    without = "\n".join(line for line in SALOON.splitlines() if "arch_height" not in line)
    assert "front.arch_height" in height_fault("front_height = 350.0", without)


def test_an_end_that_is_not_there_has_no_height() -> None:
    front, _, _ = SALOON.partition("[rear]")
    fault = height_fault('rear_height = "as measured"', front)
    assert "rear" in fault


def test_a_file_keeps_the_choice(tmp_path: Path) -> None:
    path = tmp_path / "car.toml"
    path.write_text(with_lines(SALOON, 'rear_height = "as measured"'), "utf-8")
    assert read_setup(path).setup.heights == {"rear": "as measured"}
