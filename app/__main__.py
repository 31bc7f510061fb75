"""The `wishboard` command: the command line decides; only a window loads the window's rooms."""

from __future__ import annotations

import gc
import os
import sys
from pathlib import Path

from app.cli import run


def main() -> int:
    """Run the command line and return its exit status."""
    return run(sys.argv[1:], _open_board)


def _open_board(path: Path | None) -> int:
    gc.disable()  # loading leaves no garbage; the window switches it on again
    # the kernel's matrices are small: threads would only wait for one another, and for a start
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    _load_what_needs_no_qt()
    from app.desk.main import run as run_window

    return run_window(path)


def _load_what_needs_no_qt() -> None:
    """Load study, drawing and document ahead: once Qt is there, it reads each module's source."""
    import app.document.doubts
    import app.document.recovery
    import app.systems.every
    import app.systems.front.drawing.drawing
    import app.systems.front.words.sentences
    import app.systems.sentences  # noqa: F401


if __name__ == "__main__":
    sys.exit(main())
