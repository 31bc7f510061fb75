"""The board: three views of an axle in drawing arrangement, and a fourth part for curves."""

from __future__ import annotations

from functools import cached_property
from time import monotonic
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QEvent, QLocale, Qt, QTimer, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.board.arrangement import Arrangement
from app.board.links import ViewLinks
from app.board.result_hand import ResultHand
from app.board.second_car import SecondOnBoard
from app.board.view import BoardView
from app.drawing.rings import ringed
from app.drawing.strokes import Drawing, Place
from app.drawing.views import View
from app.judge.room_drawing import ROOM, End, is_room, with_slots
from app.qt.border import fenced
from app.session.session import Session
from app.systems.answers import Study
from app.systems.result_handles import results_held
from app.systems.shown import Options, Shown
from app.words.errors import error_keys

if TYPE_CHECKING:
    from app.gestures.move_points import MovePoints
    from app.gestures.pose_car import PoseCar
    from app.gestures.room_ends import RoomEnds

SHIFT: Final = Qt.KeyboardModifier.ShiftModifier
ALT: Final = Qt.KeyboardModifier.AltModifier
REST: Final = 60  # pause of a hand after which the view that waited is drawn [ms]


@fenced
class Board(QWidget):
    """Shows the session's study and turns mouse and keys into gestures."""

    edit_asked = Signal(str)  # a point's key: type its place
    menu_asked = Signal(object, object)  # key or None, global place
    value_asked = Signal(object)  # what is drawn: type its value

    def __init__(self, session: Session, fourth: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.fourth = fourth
        self.marked: str | None = None
        self.side = 0  # whose figures are told
        self._waiting: View | None = None  # a view beside the hand's that is a frame behind
        self._ringed: frozenset[str] = frozenset()  # the points that are drawn with a ring
        self._rest = QTimer(self, singleShot=True, interval=REST)
        self._rest.timeout.connect(self._catch_up)
        self._painted = QTimer(self, singleShot=True, interval=0)  # after what is to be painted
        self._painted.timeout.connect(self._rest.start)
        self.views = {view: BoardView(view) for view in View}
        self.second, self._laid = SecondOnBoard(session), session.second.laid
        self.results = ResultHand(session)
        self.links = ViewLinks(*(self.views[view] for view in View))
        self.arrangement = Arrangement(self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.arrangement)
        for board_view in self.views.values():
            self._connect(board_view)
        session.study_changed.connect(self._follow)
        session.study_completed.connect(self._complete)
        session.study_completed.connect(self._renew_notes)
        session.selection_changed.connect(self._show_selection)
        session.bands_changed.connect(self._show_bands)
        session.second.changed.connect(self._show_second)
        session.locks_changed.connect(self.redraw)
        session.locks_changed.connect(self._renew_notes)
        session.system_changed.connect(self._show_system)
        session.units_changed.connect(self._show_units)
        session.problem_changed.connect(self._show_problem)
        self._show_system()
        self._show_units()
        self._show_problem()

    # What is shown

    def redraw(self, but: View | None = None) -> None:
        """Draw the session's poses in every view, or in all but one that waits a frame."""
        self._waiting, session = but, self.session
        study, proposed = session.study, session.proposed
        if study is None or proposed is None:
            return
        locked, wrong = frozenset(session.locks), frozenset(error_keys(session.problem))
        options = Options(
            overlay=session.overlay,
            decimal=QLocale().decimalPoint(),
            result=self.marked or "",
            side=self.side,
            results_held=True,
        )
        shown = Shown(study, proposed, session.measured, locked, wrong)
        views = [view for view in View if view is not but]
        rings = self._ringed = self._rings(study)
        drawings = {
            kind: self._marked(drawing, kind, rings, options.decimal)
            for kind, drawing in study.system.drawings(shown, options, views).items()
        }
        for kind, drawing in self.second.over(drawings, options, views).items():
            self.views[kind].set_drawing(drawing)

    def _marked(self, drawing: Drawing, view: View, rings: frozenset[str], decimal: str) -> Drawing:
        """Return a drawing with residuals of tapes, doubtful points and room to move."""
        setup = self.session.shown_setup
        if setup.tapes:
            from app.judge.survey_drawing import with_residuals  # a car without needs no solver

            drawing = with_residuals(drawing, view, setup)
        return with_slots(ringed(drawing, rings), view, setup, decimal)

    def _rings(self, study: Study[Any]) -> frozenset[str]:
        """Return the points that are worth measuring again first, as soon as that is known."""
        if study.bands is None or not study.bands.again:
            return frozenset()
        from app.judge.unsure import ringed_points

        return ringed_points(study)

    def _show_bands(self) -> None:
        """Ring the points that newer bands doubt; a drag's bring none, and nothing is drawn."""
        study = self.session.study
        if study is not None and self._rings(study) != self._ringed:
            self.redraw()

    def _follow(self) -> None:
        """Draw a new study or pose; under a hand the two other views are updated in turns."""
        held = [kind for kind, view in self.views.items() if view.is_dragging()]
        if len(held) != 1:
            self.redraw()
            return
        first, second = (kind for kind in View if kind not in held)
        self.redraw(but=second if self._waiting is not second else first)
        self._rest.stop()
        self._painted.start()

    def show_side(self, side: int) -> None:
        """Tell the figures of the left wheel, 0, or the right one, 1."""
        self.side = side
        self.redraw()

    def mark(self, result_key: str | None) -> None:
        """Mark on the drawing what a result is measured between."""
        self.marked = result_key
        self.redraw()

    def fit(self) -> None:
        """Show the whole car in every view."""
        self.links.fit_all()

    def set_palette_name(self, name: str) -> None:
        """Take the inks of a paper."""
        for view in self.views.values():
            view.set_palette_name(name)

    def fill_with(self, widget: QWidget | None) -> None:
        """Fill the board with one of its four parts, or show all four again."""
        for view in self.views.values():
            view.let_go()
        self.arrangement.fill_with(widget)
        self.redraw()
        self.fit()

    def release(self) -> None:
        """End a drag at its present place: the work is saved or closed, or a dialog opens.

        The button comes up later, or over the dialog; nothing is held then.
        """
        for view in self.views.values():
            view.release()

    def is_filled(self) -> bool:
        """Tell whether one part fills the board."""
        return self.arrangement.is_filled()

    def _show_system(self) -> None:
        """Take the titles and the arrangement of the system that is shown, and forget the other."""
        system = self.session.system
        front, side, top = (self.views[view] for view in View)
        self._show_titles()
        for view in self.views.values():
            view.clear()
        self.links.side_is_apart = system.first is View.SIDE
        if system.first is View.SIDE:
            self.arrangement.arrange("side first", [side, self.fourth], [front, top])
        else:
            self.arrangement.arrange("square", [front, side], [top, self.fourth])

    def _show_titles(self) -> None:
        """Name the views; who can't see them hears where a car can't be taken hold of."""
        alone = ", second car alone" if not self.session.second.shows_first else ""
        for kind, view in self.views.items():
            view.set_title(self.session.system.views[kind])
            view.setAccessibleName(f"{view.title}{alone}")

    def _show_second(self) -> None:
        """Show a second car over the first, or one of both alone; fit anew what was fitted."""
        self._show_titles()
        self.redraw()
        is_other, self._laid = self.session.second.laid is not self._laid, self.session.second.laid
        if is_other and all(view.is_fitted for view in self.views.values()):
            self.fit()

    def _catch_up(self) -> None:
        """Draw the view that waited."""
        if self._waiting is not None:
            self.redraw()

    def _complete(self) -> None:
        """Draw the meaning of a result that only a whole study has, and the view that waited."""
        if self.marked or self._waiting is not None:
            self.redraw()

    def _show_selection(self) -> None:
        for view in self.views.values():
            view.set_selection(self.session.selection)

    def _show_units(self) -> None:
        for view in self.views.values():
            view.set_units(self.session.units)
            view.set_unreachable(self.session.problem_words)
        self._renew_notes()

    def _show_problem(self) -> None:
        for view in self.views.values():
            view.set_unreachable(self.session.problem_words)
        self.redraw()

    # Hands: a start's first picture is there before them

    @cached_property
    def points(self) -> MovePoints:
        """The hand on points."""
        from app.gestures.move_points import MovePoints

        return MovePoints(self.session)

    @cached_property
    def car(self) -> PoseCar:
        """The hand on wheels and ground."""
        from app.gestures.pose_car import PoseCar

        return PoseCar(self.session)

    @cached_property
    def room_ends(self) -> RoomEnds:
        """The hand on the ends of a point's room."""
        from app.gestures.room_ends import RoomEnds

        return RoomEnds(self.session)

    def _connect(self, view: BoardView) -> None:
        view.pressed.connect(self._press)
        view.dragged.connect(self._drag)
        view.released.connect(self._release)
        view.cancelled.connect(self._cancel)
        view.nudged.connect(self._nudge)
        view.hovered.connect(self._hover)
        view.selection_requested.connect(self._select)
        view.point_double_clicked.connect(self._ask)
        view.context_requested.connect(self._ask_menu)
        view.title_double_clicked.connect(self._toggle_filled)

    def _sender(self) -> BoardView:
        view = self.sender()
        assert isinstance(view, BoardView)
        return view

    def _press(self, key: str, place: Place, modifiers: Qt.KeyboardModifier) -> None:
        if is_room(key):
            self.room_ends.begin(key, place, self._sender().view)
        elif results_held(key):
            self.results.begin(key, place)
        elif is_grip(key):
            self.car.begin(key, place, self._sender().view)
        else:
            self.points.begin(key, place, self._sender().view)

    def _drag(self, key: str, place: Place, modifiers: Qt.KeyboardModifier) -> None:
        if is_room(key):
            self.room_ends.move(place, bool(modifiers & ALT))
        elif results_held(key):
            self.results.move(place, bool(modifiers & ALT))
            self._sender().set_held_note(self.results.note)
        elif is_grip(key):
            self.car.move(place)
        else:
            self.points.move(place, bool(modifiers & SHIFT), bool(modifiers & ALT))

    def _release(self, key: str) -> None:
        if is_room(key):
            self.room_ends.commit()
        elif results_held(key):
            self._sender().set_held_note("")
            self.results.commit()
        elif is_grip(key):
            self.car.commit()
        else:
            self.points.commit()
        self._catch_up()

    def _cancel(self) -> None:
        self._sender().set_held_note("")
        for hand in (self.car, self.points, self.room_ends, self.results):
            hand.cancel()
        self._catch_up()

    def _nudge(self, key: str, du: float, dv: float, modifiers: object) -> None:
        if is_room(key):
            self.room_ends.nudge(key, self._sender().view.lift(du, dv), monotonic())
            return
        if results_held(key):
            self.results.nudge(key, (du, dv), monotonic())
            return
        if is_grip(key):
            self.car.begin(key, (600.0, 0.0), View.FRONT)
            self.car.move((600.0, dv))
            self.car.commit()
            return
        self.points.nudge(key, self._sender().view.lift(du, dv), monotonic())

    def _ask_menu(self, key: str | None, place: object) -> None:
        """Ask for the menu of a point, of whose room it may be the end."""
        self.menu_asked.emit(End.at(key).point if key and is_room(key) else key, place)

    def _ask(self, key: str) -> None:
        """Ask for a point's place, or for a result's value, to be typed."""
        if results_held(key):
            self.value_asked.emit(self.results.drawn(key))
        else:
            self.edit_asked.emit(key)

    def _select(self, key: str, add: bool) -> None:
        if not (is_grip(key) or results_held(key)):
            self.session.select((key,) if key else (), add)

    def _hover(self, key: str | None) -> None:
        self._sender().set_note(self._note(key) if key else "")

    def _note(self, key: str) -> str:
        from app.board.hover import hover_note

        return hover_note(self.session, key)

    def _renew_notes(self) -> None:
        """Update the note of the point under the resting pointer."""
        for view in self.views.values():
            if view.attention.hovered:
                view.set_note(self._note(view.attention.hovered))

    def _toggle_filled(self) -> None:
        self.fill_with(None if self.is_filled() else self._sender())

    def changeEvent(self, event: QEvent) -> None:
        """Redraw with new fonts."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.redraw()


def is_grip(key: str) -> bool:
    """Tell whether a key is the wheel's or the ground's, not a point's."""
    return key.startswith(("wheel:", "ground:", ROOM))
