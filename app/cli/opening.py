"""`wishboard [FILE]`: the board, or, where there is no display, the sheet and the report."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from app.cli.refused import Refused
from app.cli.terminal import Terminal, write_text
from app.qt.system_check import display_available, explain, missing_libraries


def open_or_write(path: Path | None, open_board: Callable[[Path | None], int]) -> int:
    """Open the board on a file or the first sample; without a display write what it would show."""
    _refuse_without_samples()
    if not display_available():
        return _write_instead(path)
    advice = explain(missing_libraries(window=True))
    if advice:
        raise Refused(advice)
    return open_board(path)


def _refuse_without_samples() -> None:
    from app.document.samples import sample_paths

    try:
        paths = sample_paths()
    except ModuleNotFoundError:
        paths = []
    if not paths:
        raise Refused(
            "The invented cars that belong to the program, in its folder sample_setups, are "
            "missing: the board opens on one of them. Install the program anew."
        )


def _write_instead(path: Path | None) -> int:
    from app.cli.files import load, solve, write_file
    from app.cli.report_text import report_text
    from app.cli.sheet import write_sheet_file
    from app.document.samples import first_sample

    setup_path = path or first_sample()
    ends = solve(load(setup_path), setup_path)
    which = (
        f"sheet and report of {setup_path.name}" if path else "an invented car's sheet and report"
    )
    write_text(
        f"No display was found, so the board can't be opened. Writing {which} instead, here:"
    )
    report = Path(f"{setup_path.stem}-report.txt")
    text = report_text(ends, setup_path, Terminal(80))
    write_file(report, f"{text}\n".encode())
    write_text(f"  {report.absolute()}")
    sheet = Path(f"{setup_path.stem}-sheet.pdf")
    write_sheet_file(ends, sheet, "a4", setup_path.name)
    write_text(f"  {sheet.absolute()}")
    return 0
