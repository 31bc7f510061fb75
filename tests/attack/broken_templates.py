"""Breakages of drill templates and spring orders."""

from __future__ import annotations

from typing import Final

from tests.attack.breakage import breakages

PLANE: Final = "app/shop/plane.py"
TEMPLATE: Final = "app/shop/template.py"
MARKS: Final = "app/shop/template_marks.py"
WORDS: Final = "app/shop/template_words.py"
DXF: Final = "app/shop/template_dxf.py"
FRAME: Final = "app/sheet/template_frame.py"
ORDERING: Final = "app/systems/ordering.py"
TEMPLATES: Final = "tests/shop/test_templates.py"
DRAWN: Final = "tests/shop/test_template_dxf.py"
PRINTED: Final = "tests/sheet/test_template_pdf.py"
ORDERS: Final = "tests/shop/test_spring_orders.py"

DRILLED: Final = breakages(
    (
        "rear-seen-from-ahead",
        "app/document/ends.py",
        "rightward=-1.0",
        "rightward=1.0",
        TEMPLATES,
    ),
    (
        "right-template-not-mirrored",
        PLANE,
        "(-right[0], -right[1], -right[2]), up)",
        "right, up)",
        TEMPLATES,
    ),
    ("edge-of-one-diameter", TEMPLATE, "EDGE: Final = 2.0", "EDGE: Final = 1.0", TEMPLATES),
    (
        "shims-drilled",
        TEMPLATE,
        "<= FLAT or is_across(setup, key, move)",
        "<= FLAT",
        TEMPLATES,
    ),
    (
        "move-out-of-plane-not-told",
        TEMPLATE,
        "off if is_off else REST",
        "REST",
        TEMPLATES,
    ),
    (
        "what-is-once-always-left",
        TEMPLATE,
        'own_side = "left" if measured_place(setup, key)[1] >= 0.0 else "right"',
        'own_side = "left"',
        TEMPLATES,
    ),
    (
        "forward-arrow-turned",
        WORDS,
        '"forward", 1.0 if template.plane.right[0] > 0.0',
        '"forward", 1.0 if template.plane.right[0] < 0.0',
        TEMPLATES,
    ),
    (
        "holes-twice-as-large",
        MARKS,
        "else 0.5 * template.diameter",
        "else template.diameter",
        DRAWN,
    ),
    ("dxf-in-inches", DXF, "MILLIMETRES: Final = 4", "MILLIMETRES: Final = 1", DRAWN),
    (
        "dxf-upside-down",
        DXF,
        "return place[0] + by[0], place[1] + by[1]",
        "return place[0] + by[0], by[1] - place[1]",
        DRAWN,
    ),
    (
        "template-upside-down",
        FRAME,
        "return self.x + across - self.part.left, self.y + self.part.top - up",
        "return self.x + across - self.part.left, self.y + up - self.part.bottom",
        DRAWN,
    ),
    (
        "turned-template-squeezed",
        FRAME,
        "self.y + self.part.right - across",
        "self.y + 0.99 * (self.part.right - across)",
        PRINTED,
    ),
    (
        "order-of-one-car",
        ORDERING,
        'words_of("measured", cars["measured"])',
        'words_of("measured", cars["proposed"])',
        ORDERS,
    ),
    (
        "lengths-at-the-other-stop",
        "app/systems/front/shop/spring_order.py",
        '"Length at full bump", "spring_length", -1',
        '"Length at full bump", "spring_length", 0',
        ORDERS,
    ),
)
