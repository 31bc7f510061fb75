"""Words on hop and tramp: four layouts of dampers, and the motion in each mode."""

from __future__ import annotations

from typing import Final

from app.document.model import Units
from app.document.units import number_of
from app.panels.figures import NOTHING, decimal_sign, whole_length
from app.panels.text_table import Cell, TextRows
from app.panels.writing import Ink
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.hop import MODES, HopFigures, bar_states, hop_figures
from app.systems.rear.words.hop import NO_BUSHES, layout_of, ratio_text
from geometry.modes.dampers import LAYOUTS
from geometry.modes.hop import Hop
from geometry.modes.modes import MODE_NAMES, Modes

Row = tuple[Cell, ...]
FAR: Final = 3000.0  # mm; a node farther away is said to be none
LAYOUT_HEADS: Final = (
    "dampers",
    *(head for mode in MODES for head in (f"{MODE_NAMES[mode]}\nHz", f"{MODE_NAMES[mode]}\nratio")),
)
MODE_HEADS: Final = ("mode", "Hz", "damping", "left\ndamper", "right\ndamper", "turns about a line")


def layout_rows(study: Study[RearAnswers]) -> TextRows:
    """Return the modes as measured, as proposed, and in the four layouts."""
    now, was = study.proposed.hop, study.measured.hop
    if now is None:
        return TextRows(LAYOUT_HEADS)
    rows = []
    if study.changed and was is not None:
        rows += _states("as found", was)
    name = "as built" if study.changed else "as found"
    fitted = len(rows)
    rows += _states(name, now, is_fitted=True)
    for layout, modes in zip(LAYOUTS, now.layouts, strict=True):
        rows.append(_layout(layout, hop_figures(now, modes), f"if they stood {layout}"))
    return TextRows(LAYOUT_HEADS, tuple(rows), fitted)


def _states(name: str, hop: Hop, is_fitted: bool = False) -> list[Row]:
    """Return the dampers as they are, with traction bars open and closed; the leading one first."""
    tip = layout_of(hop.dampers)
    return [
        _layout(f"{name}{state}", hop_figures(hop, modes), tip, is_fitted and modes is hop.own)
        for state, modes in bar_states(hop)
    ]


def _layout(
    name: str, figures: tuple[HopFigures | None, ...], tip: str, is_fitted: bool = False
) -> Row:
    short = name.removeprefix("as ")
    cells = [Cell(name, "bold" if is_fitted else "plain", tip=tip, short=short)]
    for each in figures:
        cells += [_hertz(each, "second"), _ratio(each, is_fitted)]
    return tuple(cells)


def _ratio(figures: HopFigures | None, is_fitted: bool = False) -> Cell:
    """Return a damping ratio; a low one is marked by a sign and bold, not by its ink alone."""
    if figures is None:
        return Cell(NOTHING, tip=NO_BUSHES)
    text = ratio_text(figures.damping, decimal_sign())
    if figures.is_low:
        return Cell(f"▼ {text}", "bold", "accent", "low: it hardly dies out")
    return Cell(text, "bold" if is_fitted else "plain")


def _hertz(figures: HopFigures | None, ink: Ink = "ink") -> Cell:
    if figures is None:
        return Cell(NOTHING, ink=ink, tip=NO_BUSHES)
    hertz = number_of(figures.frequency, "frequency", "mm", decimal=decimal_sign(), places=1)
    if not figures.mixed:
        return Cell(hertz, ink=ink)
    tip = f"{figures.mixed}: two modes share it; mean frequency, least damping"
    return Cell(f"{hertz}*", ink=ink, tip=tip)


def mode_rows(hop: Hop, units: Units) -> TextRows:
    """Return what each mode is, which damper works in it, and where it turns."""
    rows = []
    for mode, figures in zip(MODES, hop_figures(hop, hop.own), strict=True):
        if figures is None:
            continue
        shares = [f"{100.0 * float(share):.0f} %" for share in hop.own.work[mode][:2]]
        rows.append(
            (
                Cell(figures.mixed or MODE_NAMES[mode]),
                _hertz(figures),
                _ratio(figures),
                *(Cell(share, tip="of what the dampers take out of this mode") for share in shares),
                Cell(node_words(hop.own, mode, units)),
            )
        )
    return TextRows(MODE_HEADS, tuple(rows))


def node_words(modes: Modes, mode: int, units: Units) -> str:
    """Return where a mode doesn't move up and down: ahead of the axle, or beside its middle."""
    across = MODE_NAMES[mode] == "tramp"
    place = float((modes.node_left if across else modes.node_ahead)[mode])
    if not abs(place) < FAR:
        return "no line near" if not across else "the whole axle"
    length = whole_length(place, units)
    if across and length == whole_length(0.0, units):
        return "the middle"
    if across:
        return f"{length} {'left' if place > 0 else 'right'} of the middle"
    return f"{length} {'ahead of' if place > 0 else 'behind'} the axle"
