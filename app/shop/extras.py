"""The pages that may follow a sheet, by the names under which they are chosen. No Qt."""

from __future__ import annotations

from typing import Final, Literal

Extra = Literal["proposals", "alignment", "spring-order", "template"]

ASKED: Final[tuple[Extra, ...]] = ("proposals",)
"""Those that only come where they are asked for: a shop works from one proposal."""

EXTRAS: Final[tuple[Extra, ...]] = ("alignment", "spring-order", "template")
"""Those that follow where the work calls for them, unless they are left out."""

ALL_EXTRAS: Final = (*ASKED, *EXTRAS)
