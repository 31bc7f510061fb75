"""What is said of drill templates where there are none."""

from __future__ import annotations

from collections.abc import Collection


def no_holes(name: str, side: str | None = None) -> str:
    """Say that nothing is drilled, and what would make a template; `name` is the file's."""
    where = f" on the {side}" if side else ""
    return (
        f"{name} has no hole to drill{where}: taken together, the changes that are on put no "
        "pivot, bracket or mount of the body in a new hole. Shims, coil seats and what is bolted "
        "to a moving part need no template."
    )


def stopped(name: str, ends: Collection[str]) -> str:
    """Say that nothing is drilled for ends that can't be as proposed; `name` is the file's."""
    where = " and ".join(f"the {end}" for end in sorted(ends))
    return (
        f"{name}: {where} can't be as proposed, so that no hole is drilled by it. The sentences "
        "of the report and of the window say why; mend that, or switch the change off."
    )
