"""The holes that are drilled anew at the rear, and the mounts of an axle that is fitted. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from app.document.model import Setup
from app.document.moves import is_measured, proposed_settings
from app.systems.holes import Drilled, Face, link_end, lone

_LINKS: Final[tuple[tuple[str, Face], ...]] = (
    ("lower", "lengthwise"),
    ("upper", "lengthwise"),
    ("lateral", "across"),
)
_ON_AXLE: Final = ("rear.damper_axle", "rear.bar_axle")
"""Mounts on the axle that a change may add; where they are moved no template is laid."""


def rear_holes(setup: Setup) -> Iterator[Drilled]:
    """Yield what may be drilled for the axle that will be fitted; new mounts on the axle too.

    A coil's seat is no hole: it is marked out where it is new.
    """
    kind = proposed_settings(setup).get("rear.kind")
    is_other = kind != setup.evidence.get("rear.kind")
    if kind == "leaf axle":
        yield replace(lone(setup, "rear.front_eye"), is_new=is_other)
        yield replace(lone(setup, "rear.shackle_body"), is_new=is_other)
    else:
        yield from _link_mounts(setup, is_other)
    yield lone(setup, "rear.damper_body")
    for key in _ON_AXLE:
        if not is_measured(setup, key):
            yield lone(setup, key)


def _link_mounts(setup: Setup, is_other: bool) -> Iterator[Drilled]:
    for link, face in _LINKS:
        body, axle = f"rear.{link}_body", f"rear.{link}_axle"
        yield link_end(setup, body, axle, face, is_other)
        if is_other:
            yield link_end(setup, axle, body, face, is_other)
    if is_other:
        for key in ("rear.spring_body", "rear.spring_axle"):
            yield replace(lone(setup, key, "level", is_hole=False), is_new=True)
