"""The `wishboard` command: the command line decides; only a window loads the window's rooms."""

from __future__ import annotations

import gc
import os
import sys
from pathlib import Path

from app.cli import run
from app.qt.plain_import import load_qt


def main() -> int:
    """Run the command line and return its exit status."""
    return run(sys.argv[1:], _open_board)


def _open_board(path: Path | None) -> int:
    gc.disable()  # loading leaves no garbage; the window switches it on again
    # the kernel's matrices are small: threads would only wait for one another, and for a start
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    load_qt()
    # from deep inside other imports, numpy's many small calls ask the system for stack and give it
    # back, hundreds of times
    import numpy  # noqa: F401

    from app.desk.main import run as run_window

    return run_window(path)


if __name__ == "__main__":
    sys.exit(main())
