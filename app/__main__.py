"""The `wishboard` command: the command line decides; only a window loads the window's rooms."""

from __future__ import annotations

import gc
import sys
from pathlib import Path

from app.cli import run


def main() -> int:
    """Run the command line and return its exit status."""
    return run(sys.argv[1:], _open_board)


def _open_board(path: Path | None) -> int:
    gc.disable()  # loading leaves no garbage; the window switches it on again
    from app.desk.main import run as run_window

    return run_window(path)


if __name__ == "__main__":
    sys.exit(main())
