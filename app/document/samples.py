"""The invented cars that come with the program."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Final

FIRST: Final = "small_saloon.toml"


def sample_paths() -> list[Path]:
    """Return the sample setups, the first start's first."""
    import sample_setups  # where it is missing, only the samples are

    folder = Path(str(sample_setups.__file__)).parent
    return sorted(folder.glob("*.toml"), key=lambda path: (path.name != FIRST, path.name))


def first_sample() -> Path:
    """Return the setup that the first start shows."""
    return sample_paths()[0]


def sample_titles() -> list[tuple[str, Path]]:
    """Return title and path of each sample."""
    titled = []
    for path in sample_paths():
        with path.open("rb") as file:
            titled.append((str(tomllib.load(file).get("title", path.stem)), path))
    return titled
