"""Rows of the rear's part of the catalogue about its modes: hop, tramp and wind-up."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from geometry.catalogue.result import Result

HOP: Final = "Hop and tramp"

_AXLE: Final = (
    "rear.axle.mass",
    "rear.axle.pitch_inertia",
    "rear.axle.roll_inertia",
    "rear.tyre_rate",
    "rear.damper.rate",
    "rear.damper_axle",
)
_COILS: Final = ("rear.spring_axle", "rear.spring.rate")
_BUSHES: Final = ("rear.links.lower_rate", "rear.links.upper_rate")
_LEAVES_LEAVE_OUT: Final = "grip and leaf friction are not in it."
_LINKS_LEAVE_OUT: Final = "grip and what the bushes damp are not in it."


def _modes(
    needs: tuple[str, ...], wind_up_needs: tuple[str, ...], left_out: str
) -> tuple[Result, ...]:
    return tuple(
        Result(
            key=f"{key}_{what}",
            title=f"{words}, {of}",
            kind=kind,
            scope="car",
            group=HOP,
            plus=plus,
            minus=minus,
            definition=(
                f"Of the mode that is mostly {words.lower()}, at small motion; where two modes "
                f"share it, {'their mean' if what == 'frequency' else 'the least of both'}. "
                f"A linear indication: {left_out}"
            ),
            source="textbook eigenproblem",
            needs=(*needs, *(wind_up_needs if key == "wind_up" else ())),
            decimals=decimals,
            first=True,
        )
        for key, words in (("hop", "Hop"), ("tramp", "Tramp"), ("wind_up", "Wind-up"))
        for what, of, kind, plus, minus, decimals in (
            ("frequency", "frequency", "frequency", "quicker", "", 1),
            ("damping", "damping ratio", "ratio", "dies out", "grows", 2),
        )
    )


LEAF_HOP: Final = _modes(_AXLE, (), _LEAVES_LEAVE_OUT)
LINK_HOP: Final = tuple(
    # the bushes' part isn't known, so that it can't be compared with that on leaves
    replace(
        each,
        title="Wind-up, damping by the dampers",
        short="Wind-up, by dampers",
        identity="wind_up_damping_by_dampers",
    )
    if each.key == "wind_up_damping"
    else each
    for each in _modes((*_AXLE, *_COILS), _BUSHES, _LINKS_LEAVE_OUT)
)
