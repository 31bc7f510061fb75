"""Which results may bear a limit, and in what kind of quantity: the catalogue's names."""

from __future__ import annotations

from typing import Final

from geometry.catalogue.front import RESULTS
from geometry.catalogue.rear import REAR_RESULTS

LIMIT_KINDS: Final = {f"front.{result.key}": result.kind for result in RESULTS} | {
    f"rear.{result.key}": result.kind for result in REAR_RESULTS.values()
}
