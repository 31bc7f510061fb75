"""A block typed in mm in a file in inches is asked about, not called a fault of the program."""

from pathlib import Path

import pytest

from app.cli import run
from app.document.samples import sample_paths

(INCH,) = (path for path in sample_paths() if path.stem == "inch_sedan")
BLOCK = '\n[[change]]\nname = "Block"\non = true\n[change.set]\n"rear.block" = 19.0\n'


@pytest.mark.parametrize("command", ["report", "check"])
def test_a_block_in_the_wrong_unit_is_refused_with_what_was_meant(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "block.toml"
    path.write_text(INCH.read_text(encoding="utf-8") + BLOCK, encoding="utf-8")
    assert run([command, str(path)], lambda _: 0) != 0
    said = " ".join(capsys.readouterr().err.split())
    assert "the rear as proposed can't be built" in said
    assert "Lowering block: 19.000 in? Usual is 0 to 3.1 in. Was 19.000 mm meant?" in said
    assert "fault of the program" not in said
