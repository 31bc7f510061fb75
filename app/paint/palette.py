"""The inks: on light paper, on dark paper, and black on white for the printer."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from PySide6.QtGui import QColor

from geometry.dataclass import dataclass


@dataclass(frozen=True, slots=True)
class Inks:
    """Colours as #rrggbb: two inks and one accent on a paper, and faint ones for what lies under.

    Lines and words have at least 4.5 to 1 against the paper; `soft` carries lines only, 3 to 1.
    """

    paper: str
    ink: str  # what is proposed, and plain words
    second: str  # what was measured, centrelines, figures at the edge
    accent: str  # construction, and what moves
    other: str  # another car laid over the one that is shown
    soft: str  # first ink, thinned: wheel, spring, the far side
    wash: str  # a faint fill inside parts
    margin: str  # the strip under the edge figures
    grid_fine: str
    grid_middle: str
    grid_heavy: str

    def colour(self, name: str) -> QColor:
        """Return the ink of that name."""
        return QColor(getattr(self, name))

    def faded(self) -> Inks:
        """Return the same inks paled towards the paper, for a drawing that no longer holds."""
        return replace(
            self,
            ink=self._pale(self.ink),
            second=self._pale(self.second),
            accent=self._pale(self.accent),
            other=self._pale(self.other),
            soft=self._pale(self.soft),
            wash=self._pale(self.wash),
        )

    def _pale(self, colour: str) -> str:
        """Return the colour with more than half of it replaced by paper."""
        one, two = QColor(colour), QColor(self.paper)
        share = 0.55
        red = one.redF() + share * (two.redF() - one.redF())
        green = one.greenF() + share * (two.greenF() - one.greenF())
        blue = one.blueF() + share * (two.blueF() - one.blueF())
        return QColor.fromRgbF(red, green, blue).name()


LIGHT: Final = Inks(
    paper="#fcfaf4",
    ink="#123f4c",
    second="#686a68",
    accent="#b8400f",
    other="#6a3fb0",
    soft="#5d8085",
    wash="#f1f1ea",
    margin="#f6f3ea",
    grid_fine="#f3f1e8",
    grid_middle="#eae8dd",
    grid_heavy="#dcdbcf",
)
DARK: Final = Inks(
    paper="#141c20",
    ink="#c4e6ea",
    second="#98a4a6",
    accent="#ffa05c",
    other="#c9a8ff",
    soft="#6f979d",
    wash="#1a2529",
    margin="#182126",
    grid_fine="#192328",
    grid_middle="#1f2a30",
    grid_heavy="#2a373e",
)
BLACK: Final = Inks(
    paper="#ffffff",
    ink="#000000",
    second="#000000",
    accent="#000000",
    other="#000000",
    soft="#333333",
    wash="#ffffff",
    margin="#ffffff",
    grid_fine="#ffffff",
    grid_middle="#ffffff",
    grid_heavy="#ffffff",
)
PALETTES: Final[dict[str, Inks]] = {"light": LIGHT, "dark": DARK, "print": BLACK}
