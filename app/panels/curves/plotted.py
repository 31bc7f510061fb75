"""Which results are plotted: chosen for each axle, and remembered from one start to the next."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QSettings

from app.panels.shown_results import find_result, results_asked
from app.session.session import Session
from geometry.catalogue.result import CURVES_SHOWN, Result, plotted_first

KEPT: Final = "curves/{}"  # the setting of the results that are plotted, by axle


class Plotted:
    """The results that are plotted of the axle that is shown, the large one first."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._keys: dict[str, list[str]] = {}  # by axle

    def results(self) -> list[Result]:
        """Return the results to plot: those chosen for the axle, others where it hasn't them."""
        chosen_results = [find_result(self.session, key) for key in self._chosen_keys()]
        known_results = [result for result in chosen_results if result is not None]
        if len(known_results) == len(chosen_results):
            return known_results
        others = (other for other in results_asked(self.session) if other.scope != "car")
        spare = (other for other in others if other not in chosen_results)
        return [result if result is not None else next(spare) for result in chosen_results]

    def choose(self, place: int, key: str) -> None:
        """Plot another result in a place."""
        self._chosen_keys()[place] = key
        self._keep()

    def enlarge(self, place: int) -> None:
        """Exchange a small plot for the large one."""
        keys = self._chosen_keys()
        keys[0], keys[place] = keys[place], keys[0]
        self._keep()

    def _chosen_keys(self) -> list[str]:
        axle = self.session.system.key
        if axle not in self._keys:
            first = plotted_first(results_asked(self.session))[:CURVES_SHOWN]
            self._keys[axle] = _kept_keys(axle) or [result.key for result in first]
        return self._keys[axle]

    def _keep(self) -> None:
        """Remember the results that are plotted."""
        axle = self.session.system.key
        QSettings().setValue(KEPT.format(axle), ",".join(self._keys[axle]))


def _kept_keys(axle: str) -> list[str]:
    """Return the results that were plotted last; nothing where they aren't as many as now."""
    kept = str(QSettings().value(KEPT.format(axle), "", str)).split(",")
    return kept if len(set(kept)) == CURVES_SHOWN else []
