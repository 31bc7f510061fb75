"""The rear's part of the sheet: its drawing, its springs or links, what they do."""

from __future__ import annotations

from typing import Final

from app.paper.flow import height_of
from app.paper.packing import Section, section_of
from app.paper.sizes import Paper
from app.sheet.clearance_table import clearance_blocks
from app.sheet.limits_table import limit_blocks
from app.sheet.link_table import link_blocks, link_force_blocks
from app.sheet.notes import missing_blocks, note_blocks
from app.sheet.pack_table import pack_blocks, stress_blocks
from app.sheet.plots import curve_blocks
from app.sheet.point_table import point_table
from app.sheet.rear_tables import hop_blocks, torque_blocks
from app.sheet.rear_top import top_view_blocks
from app.sheet.rear_views import rear_views_block
from app.sheet.result_table import result_blocks
from app.sheet.spring_plots import plot_blocks
from app.shop.subject import Subject
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers

TITLE: Final = "Rear suspension"


def rear_section(
    study: Study[RearAnswers], subject: Subject, paper: Paper, room: float, decimal: str
) -> Section:
    """Return the section of the rear, for pages of so much room [mm]."""
    table = point_table(study, paper, decimal)
    parts = {
        "drawing": rear_views_block(study, paper, room, height_of(table), decimal),
        "from above": top_view_blocks(study, paper, decimal),
        "points": table,
        "leaves": pack_blocks(study, paper, decimal),
        "links": link_blocks(study, paper, decimal),
        "forces in links": link_force_blocks(study, paper, decimal),
    }
    if study.proposed.leaf is not None:  # springs that come off needn't be judged
        parts |= {
            "stress": stress_blocks(study, paper, decimal),
            "load": plot_blocks(study, paper, decimal),
            "torque": torque_blocks(study, paper, decimal),
        }
    parts |= {
        "hop": hop_blocks(study, paper, decimal),
        "curves": curve_blocks(study, paper, decimal, ""),
        "results": result_blocks(study, paper, decimal),
        "limits": limit_blocks(study, paper, decimal) + clearance_blocks(study, paper, decimal),
        "notes": note_blocks(study.setup, paper, "rear.", text=not subject.has_several),
        "what is missing": missing_blocks(study, paper),
    }
    return section_of(TITLE, parts)
