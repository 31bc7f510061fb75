"""Columns of figures as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from typing import Final

OWN_NAMES: Final = {"travel": "travel_mm", "roll": "roll_deg", "steer": "steer_mm"}
"""What drivers are called in columns and JSON."""


def columns_csv(columns: Mapping[str, Sequence[float | None]]) -> str:
    """Return columns of one length as CSV under their heads; what isn't known is empty."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(
        ["" if value is None else repr(value) for value in row]
        for row in zip(*columns.values(), strict=True)
    )
    return text.getvalue()
