"""Where the project's own folders are."""

from __future__ import annotations

from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parents[2]
DOCS: Final = ROOT / "docs"
SAMPLE_FOLDER: Final = ROOT / "sample_setups"
SAMPLE_FILES: Final = tuple(sorted(SAMPLE_FOLDER.glob("*.toml")))
