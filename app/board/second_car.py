"""A second car on the board: drawn once, and laid under each drawing of the first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from app.drawing.second_car import joined, laid_over, outlined
from app.drawing.strokes import Drawing
from app.drawing.views import View
from app.session.session import Session
from app.systems.answers import Answered
from app.systems.shown import NOTHING, Options, Shown


class SecondOnBoard:
    """The drawings of the second car, kept while only the first one moves."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._kept: tuple[tuple[Answered, Options], dict[View, Drawing]] | None = None

    def over(
        self, drawings: dict[View, Drawing], options: Options, views: Iterable[View]
    ) -> dict[View, Drawing]:
        """Return the drawings of what is seen: both cars, or one of them alone."""
        second = self.session.second
        if not second.is_seen:
            return drawings
        alone = not second.shows_first
        own = self._drawings(
            replace(options, overlay=NOTHING, handles=False, results_held=False), alone
        )
        return {
            view: _alone(drawings[view], own[view])
            if alone
            else laid_over(drawings[view], own[view])
            for view in views
        }

    def _drawings(self, options: Options, alone: bool) -> dict[View, Drawing]:
        """Return every view of the second car: whole where it is alone, else its outlines."""
        study, posed = self.session.second.study, self.session.second.posed
        if study is None or posed is None:
            return {view: Drawing() for view in View}
        options = options if alone else replace(options, dimensions=False, result="")
        key = posed, options
        if self._kept is None or self._kept[0][0] is not posed or self._kept[0][1] != options:
            made = study.system.drawings(Shown(study, posed), options, list(View))
            if not alone:
                made = {view: outlined(drawing) for view, drawing in made.items()}
            self._kept = key, made
        return self._kept[1]


def _alone(first: Drawing, second: Drawing) -> Drawing:
    """Return the second car's drawing on the paper of both, so that nothing shifts between them."""
    return Drawing(second.strokes, joined(first.bounds, second.bounds))
