"""Drill templates as a PDF or a DXF, written without a screen."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from app.cli.arguments import Call
from app.cli.refused import Refused
from app.cli.sheet import prepare, refuse_unwritable
from app.document.address import SIDES
from app.document.atomic import reason
from app.document.model import Setup
from app.judge.banded import with_bands
from app.shop.stops import stopped_ends
from app.shop.template import Template, templates, within_told
from app.systems.report import Report
from app.words.templates import no_holes, stopped


def write_template_file(
    ends: Sequence[Report], setup: Setup, call: Call, path: Path, source: str
) -> str:
    """Write the templates of a setup and return what was written; refuse where there are none.

    `source` is the name of the setup's file.
    """
    drilled: Sequence[Template] = templates(setup, SIDES if call.side is None else (call.side,))
    if not drilled:
        raise Refused(no_holes(source, call.side))
    is_dxf = path.suffix.lower() == ".dxf"
    refuse_unwritable(path) if is_dxf else prepare(path)
    drilled_ends = {template.end for template in drilled}
    if stops := stopped_ends(setup) & drilled_ends:
        raise Refused(stopped(source, stops))
    studies = [end.study for end in ends if end.study.system.key in drilled_ends]
    drilled = within_told(drilled, map(with_bands, studies))
    try:
        if is_dxf:
            from app.shop.template_dxf import write_dxf

            write_dxf(setup, drilled, path)
        else:
            from app.sheet.template_pdf import write_templates

            write_templates(setup, drilled, path, call.paper, today=date.today(), source=source)
    except OSError as error:
        raise Refused(f"{path} can't be written: {reason(error)}.") from None
    return f"{path} written: {'; '.join(template.name for template in drilled)}."
