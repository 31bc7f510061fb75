"""Which readings are worth taking again: what each adds to the uncertainty of what counts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

import numpy as np

from app.document.ends import key_in
from app.document.keys import KEYS
from app.document.leaf_parts import leaf_part
from app.judge.bands import Bands
from app.judge.kept import Chances
from app.systems.banded import Again
from geometry.catalogue.result import Result
from geometry.uncertainty import COVERAGE, shares_of_variance
from geometry.vectors import Array

CLOSER: Final = 0.5  # mm: within what a reading is taken again
COUNTED: Final = ("camber_gain", "bump_steer", "roll_steer", "roll_centre_height", "settled_travel")
"""The results that count where a setup limits none."""
_FRONT_ONLY: Final = "bump_steer"


def measure_again(bands: Bands, chances: Chances) -> tuple[Again, ...]:
    """Return the readings by their share, the largest first; those that add nothing are left out.

    The results are those with limits or wants, else the ones that a specialist asks for first, as
    built at rest. Of each result both wheels' variances count together.
    """
    if not bands.known.readings:  # all of it is exact
        return ()
    parts = {
        key: part
        for key, part in (
            (result.key, _variances(bands, chances, result)) for result in counted(bands)
        )
        if part is not None and part.sum() > 0.0
    }
    if not parts:
        return ()
    shares = {key: part / part.sum() for key, part in parts.items()}
    mean = np.mean(list(shares.values()), axis=0)
    order = np.argsort(-mean, kind="stable")
    return tuple(
        Again(
            bands.known.readings[place],
            float(mean[place]),
            {key: float(share[place]) for key, share in shares.items()},
            dict(_brought(bands, parts, place)),
        )
        for place in order.tolist()
        if mean[place] > 0.0
    )


def counted(bands: Bands) -> tuple[Result, ...]:
    """Return the results that count: those with limits or wants, else a specialist's first."""
    study = bands.study
    end = study.system.key
    result_keys = {*study.setup.limits, *(want.result for want in study.setup.wants)}
    limited = tuple(result for result in study.results if key_in(end, result.key) in result_keys)
    if limited:
        return limited
    keys = [key for key in COUNTED if key in bands.built]
    if _FRONT_ONLY in keys:
        keys.remove("roll_steer")
    return tuple(bands.results[key] for key in keys)


def _variances(bands: Bands, chances: Chances, result: Result) -> Array | None:
    """Return what each reading adds to a result's variance, (r,), both wheels together."""
    key = result.key
    if key in bands.slopes.built:
        sloping = bands.slopes.built[key]
        at_rest = sloping if result.scope == "car" else sloping[..., 0]
        parts = shares_of_variance(at_rest, bands.known.factor)
        return np.asarray(parts.reshape(len(parts), -1).sum(axis=1))
    samples = chances.swings.built.get(key)
    if samples is None and key in bands.samples.built:
        samples = bands.samples.built[key]
        samples = samples if result.scope == "car" else samples[..., 0]
    if samples is None or not np.isfinite(samples).all():
        return None
    wheels = samples.reshape(len(samples), -1)
    errors = bands.errors[: len(wheels)]  # which are even, so each slope stands alone
    sloping = errors.T @ (wheels - wheels.mean(axis=0)) / len(wheels)
    return np.asarray((sloping**2).sum(axis=1))


def _kind(reading: str) -> str:
    """Return the kind of quantity of a reading: coordinates and tapes are lengths."""
    part = leaf_part(reading)
    if part is not None:
        return part.kind
    return KEYS[reading].kind if reading in KEYS else "length"


def _brought(bands: Bands, parts: Mapping[str, Array], place: int) -> Iterator[tuple[str, float]]:
    name = bands.known.readings[place]
    uncertainty = float(bands.known.uncertain[place]) * COVERAGE
    if _kind(name) != "length":
        return
    rest_share = min(1.0, (CLOSER / uncertainty) ** 2) if uncertainty else 1.0
    for key, part in parts.items():
        variance = part.sum() - part[place] * (1.0 - rest_share)
        wheels = 2 if bands.results[key].scope == "wheel" else 1
        yield key, float(COVERAGE * np.sqrt(variance / wheels))
