"""Which results may bear a limit, and in what kind of quantity: the catalogue's names."""

from __future__ import annotations

from typing import Final

from geometry.catalogue import RESULTS

LIMIT_KINDS: Final = {f"front.{result.key}": result.kind for result in RESULTS}
