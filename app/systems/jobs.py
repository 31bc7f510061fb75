"""A job for the shop."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Job:
    """One thing to tick off: what to do, and smaller words on how."""

    title: str
    details: tuple[str, ...] = ()
