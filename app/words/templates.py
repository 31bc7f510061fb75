"""What is said of drill templates where there are none."""

from __future__ import annotations


def no_holes(name: str, side: str | None = None) -> str:
    """Say that nothing is drilled, and what would make a template; `name` is the file's."""
    where = f" on the {side}" if side else ""
    return (
        f"{name} has no hole to drill{where}: taken together, the changes that are on put no "
        "pivot, bracket or mount of the body in a new hole. Shims, coil seats and what is bolted "
        "to a moving part need no template."
    )
