"""Setups to print, sheets as files, and pages read back from them as ink and words."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache, lru_cache
from importlib.resources import as_file, files
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np
import pytest

from app.document.files import read_setup
from app.document.model import Change, FrozenMap, Setup
from app.shop.extras import Extra
from app.systems.every import BY_KEY, LIMIT_KINDS, given_systems
from app.systems.front.system import FRONT
from app.systems.system import System
from tests.helpers.kept_studies import kept_study

SAMPLES = ("small_saloon", "inch_sedan", "torsion_coupe", "hillclimb_special")
TODAY = date(2026, 11, 24)
LONG = "A note that goes on for longer than any line is wide, whatever the paper may be. " * 4

needs_poppler = pytest.mark.skipif(
    not (shutil.which("pdftoppm") and shutil.which("pdftotext")),
    reason="poppler-utils (pdftoppm, pdftotext) is not installed",
)


@cache
def sample(name: str) -> Setup:
    with as_file(files("sample_setups") / f"{name}.toml") as path:
        return read_setup(path, limit_kinds=LIMIT_KINDS).setup


def with_all_on(setup: Setup) -> Setup:
    return setup.having(changes=tuple(replace(change, on=True) for change in setup.changes))


def with_on(setup: Setup, *names: str) -> Setup:
    """Return the setup with the changes on whose names contain any of these words."""
    return setup.having(
        changes=tuple(replace(c, on=any(n in c.name for n in names)) for c in setup.changes)
    )


def crowded() -> Setup:
    """A setup with more of everything than a page holds."""
    setup = with_all_on(sample("small_saloon"))
    many = tuple(
        Change(
            f"Job {index} with a name that is longer than anybody would give it, and then some",
            note=f"{LONG}{'x' * 150}",
            moves=FrozenMap(
                {"front.damper_body": (0.5, 1.0, 0.5), "front.lower_rear": (0, 0, 0.5)}
            ),
        )
        for index in range(8)
    )
    return setup.having(
        title="Ferncote Linnet 1500 special touring estate with the long wheelbase and a long "
        "name, chassis F/LN/15/63/00417, engine E/15/00992",
        notes="\n\n".join(f"Paragraph {index}: {LONG}" for index in range(30)),
        evidence=FrozenMap(
            {
                **setup.evidence,
                "sheet.customer": "Mr and Mrs Somebody-Otherwise of the Long Lane",
                "sheet.made_by": "A. Person with a Rather Long Name, Chassis Works at the Old Mill",
                "sheet.revision": "C, third after the second measuring",
                "sheet.remark": LONG,
            }
        ),
        changes=(*setup.changes, *many),
    )


def bare() -> Setup:
    """A setup that gives nothing but what it must."""
    setup = sample("small_saloon")
    needed = {
        key: value
        for key, value in setup.evidence.items()
        if not key.startswith(("sheet.", "car.", "front.spring", "front.damper", "front.travel"))
        and key not in ("front.tyre_rate", "front.arch_height", "front.toe_diameter")
    }
    return Setup(title="", evidence=FrozenMap(needed), changes=setup.changes[:1])


def printed(setup: Setup, path: Path, paper: str = "a4", decimal: str = ".") -> Path:
    """Print the front's sheet."""
    return _written(setup, [FRONT], path, paper, decimal)


def printed_whole(
    setup: Setup,
    path: Path,
    paper: str = "a4",
    decimal: str = ".",
    extras: Sequence[Extra] = (),
) -> Path:
    """Print the sheet of all that a setup gives, with the pages that may follow it."""
    return _written(setup, given_systems(setup), path, paper, decimal, extras)


def _written(
    setup: Setup,
    systems: Sequence[System[Any]],
    path: Path,
    paper: str,
    decimal: str,
    extras: Sequence[Extra] = (),
) -> Path:
    keys = tuple(system.key for system in systems)
    path.write_bytes(_printed(setup, keys, paper, decimal, tuple(extras)))
    return path


@lru_cache(maxsize=32)
def _printed(
    setup: Setup, ends: tuple[str, ...], paper: str, decimal: str, extras: tuple[Extra, ...]
) -> bytes:
    """Return a sheet as it is written: many tests read the same one."""
    from app.sheet.pdf import write_sheet  # with Qt, which those do without who want setups alone

    with TemporaryDirectory() as folder:
        path = Path(folder) / "sheet.pdf"
        write_sheet(
            [kept_study(BY_KEY[key], setup) for key in ends],
            path,
            paper,  # type: ignore[arg-type]
            today=TODAY,
            source="car.toml",
            decimal=decimal,
            extras=extras,
        )
        return path.read_bytes()


@dataclass(frozen=True)
class Word:
    """A word on a page with its box [points]."""

    text: str
    left: float
    top: float
    right: float
    bottom: float


def clashes_of(words: Sequence[Word], slack: float = 2.2) -> list[tuple[str, str]]:
    """Return which words of a page lie on each other by more than the slack [points]."""
    left, top, right, bottom = np.array([(w.left, w.top, w.right, w.bottom) for w in words]).T
    across = np.minimum.outer(right, right) - np.maximum.outer(left, left)
    down = np.minimum.outer(bottom, bottom) - np.maximum.outer(top, top)
    pairs = np.argwhere(np.triu((across > slack) & (down > slack), k=1))
    return [(words[a].text, words[b].text) for a, b in pairs]


def words_of(path: Path) -> list[list[Word]]:
    """Return the words of each page."""
    call = ["pdftotext", "-bbox", str(path), "-"]
    text = subprocess.run(call, check=True, capture_output=True, text=True).stdout
    pattern = r'<word xMin="(.*?)" yMin="(.*?)" xMax="(.*?)" yMax="(.*?)">(.*?)</word>'
    pages = []
    for page in text.split("<page ")[1:]:
        found = re.findall(pattern, page)
        pages.append([Word(w, *map(float, (a, b, c, d))) for a, b, c, d, w in found])
    return pages
