"""The invented cars that come with the program."""

from __future__ import annotations

import tomllib
from importlib.resources import as_file, files
from pathlib import Path
from typing import Final

FIRST: Final = "small_saloon.toml"


def sample_paths() -> list[Path]:
    """Return the sample setups, the first start's first."""
    folder = files("sample_setups")
    names = sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(".toml"))
    names.sort(key=lambda name: name != FIRST)
    paths = []
    for name in names:
        with as_file(folder / name) as path:
            paths.append(path)
    return paths


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
