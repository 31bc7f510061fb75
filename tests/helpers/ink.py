"""Pages as ink: what is dark on them, how long and how round."""

from __future__ import annotations

import subprocess
from pathlib import Path

import numpy as np
from numpy.typing import NDArray


def ink_of(path: Path, page: int, dots_per_inch: int) -> NDArray[np.float32]:
    """Return a page as darkness, 0 to 1, shape (rows, columns)."""
    (ink,) = inks_of(path, dots_per_inch, "-f", str(page), "-l", str(page))
    return ink


def dark_of(path: Path, page: int, dots_per_inch: int) -> NDArray[np.bool_]:
    """Tell of each dot of a page whether it is more black than white, shape (rows, columns)."""
    (grey,) = _greys_of(path, dots_per_inch, "-f", str(page), "-l", str(page))
    return grey < 128


def inks_of(path: Path, dots_per_inch: int, *only: str) -> list[NDArray[np.float32]]:
    """Return each page as darkness, 0 to 1, shape (rows, columns), or those asked for."""
    white = np.float32(255.0)
    return [1.0 - grey / white for grey in _greys_of(path, dots_per_inch, *only)]


def _greys_of(path: Path, dots_per_inch: int, *only: str) -> list[NDArray[np.uint8]]:
    call = ["pdftoppm", "-r", str(dots_per_inch), "-gray", *only, str(path)]
    rest = subprocess.run(call, check=True, capture_output=True).stdout
    pages = []
    while rest:
        magic, size, _, rest = rest.split(b"\n", 3)
        assert magic == b"P5"
        width, height = map(int, size.split())
        pages.append(np.frombuffer(rest, np.uint8, width * height).reshape(height, width))
        rest = rest[width * height :]
    return pages


def bare_edges(dark: NDArray[np.bool_], margin: float, dots_per_inch: int) -> bool:
    """Tell whether nothing dark lies nearer to an edge than the margin [mm]."""
    edge = int(margin / 25.4 * dots_per_inch)
    sides = dark[:edge], dark[-edge:], dark[:, :edge], dark[:, -edge:]
    return not any(side.any() for side in sides)


def dark_runs(dark: NDArray[np.bool_], least: int) -> list[int]:
    """Return how long the unbroken dark stretches of all rows are, from that many dots on."""
    padded = np.zeros((dark.shape[0], dark.shape[1] + 1), np.int8)  # no run goes on in the next row
    padded[:, :-1] = dark
    edges = np.flatnonzero(np.diff(padded.ravel(), prepend=0))
    runs = edges[1::2] - edges[::2]
    return [int(run) for run in runs[runs >= least]]


def ring_shares(
    dark: NDArray[np.bool_], radius: float, rows: range, columns: range
) -> NDArray[np.float64]:
    """Return how much of a circle of that radius [dots] is dark, around each of these places."""
    turns = np.linspace(0.0, 2 * np.pi, 240, endpoint=False)
    hits = np.zeros((len(rows), len(columns)))
    places = np.floor(np.round(radius * np.array([np.cos(turns), np.sin(turns)]), 9)).astype(int)
    for across, down in places.T.tolist():
        hits += dark[
            rows.start + down : rows.stop + down : rows.step,
            columns.start + across : columns.stop + across : columns.step,
        ]
    return hits / len(turns)
