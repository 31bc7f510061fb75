"""The drawing, or curves, as a picture that is painted without a screen."""

from __future__ import annotations

from datetime import date
from typing import Any

from app.cli.arguments import Call
from app.cli.refused import Refused
from app.cli.sheet import prepare
from app.document.atomic import reason
from app.systems.answers import Study


def write_picture(study: Study[Any], call: Call, source: str) -> None:
    """Write what a call asks for, or refuse with what is missing or can't be written."""
    assert call.output is not None  # the parser asks for it
    prepare(call.output)
    from app.drawing.views import View
    from app.export.curves_leaf import CurveChoice, curves_leaf
    from app.export.drawing_leaf import drawing_leaf
    from app.export.leaf import Imprint
    from app.export.pictures import write_leaf
    from app.paper.sizes import PAPERS

    imprint = Imprint(PAPERS[call.paper], date.today(), source)
    if call.command == "curves":
        leaf = curves_leaf(study, CurveChoice(call.over or "travel"), imprint)
    else:
        view = None if call.view == "all" else View[call.view.upper()]
        leaf = drawing_leaf(study, view, imprint)
    try:
        write_leaf(leaf, call.output)
    except OSError as error:
        raise Refused(f"{call.output} can't be written: {reason(error)}.") from None
