"""How the search for a change is begun: from a point, a result, a limit, or from nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.desk.finding.choices import fixed_because
from app.desk.finding.window import FindWindow
from app.document.moves import is_there
from app.document.plans import Want
from app.judge.asked import kept_limit
from app.systems.every import LIMIT_KINDS

if TYPE_CHECKING:
    from app.desk.window import Window


def find_where(window: Window, point: str = "", result: str = "", limit: bool = False) -> None:
    """Open the search, with a row for a point, or for a result: its limit is wanted if `limit`."""
    reason = fixed_because(window.session, point) if point else ""
    if not reason and point and not is_there(window.session.history.value, point):
        reason = "This point isn't measured on this car."
    if reason:
        window.session.said.emit(reason)
        return
    find_window = window.findChild(FindWindow) or FindWindow(window)
    find_window.open_beside()
    if point:
        find_window.asking.then(lambda: find_window.asking.begin(find_window.rooms.room(point).low))
    elif result:
        want = _want(window, result, limit)
        find_window.asking.then(
            lambda: find_window.asking.begin(find_window.wants.want(want).value)
        )


def _want(window: Window, name: str, limit: bool) -> Want:
    """Return what is first wanted of a result: that its limit is kept, or a value to be typed."""
    limit_now = window.session.history.value.limits.get(name) if limit else None
    return (
        kept_limit(name, limit_now) if limit_now is not None else Want(name, kind=LIMIT_KINDS[name])
    )
