"""The pages that may follow a sheet, by the names under which they are chosen. No Qt."""

from __future__ import annotations

from typing import Final, Literal

Extra = Literal["alignment", "spring-order", "template"]

EXTRAS: Final[tuple[Extra, ...]] = ("alignment", "spring-order", "template")
