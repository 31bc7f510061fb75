"""The setups the document's tests work on: the complete examples of docs/file-format.md."""

import re

from tests.helpers.project import DOCS

PAGE = DOCS / "file-format.md"
_BLOCK = re.compile(r"^```toml\n(.*?)^```$", re.MULTILINE | re.DOTALL)

EXAMPLES = [block for block in _BLOCK.findall(PAGE.read_text()) if block.startswith("format = 2")]
COIL, TORSION, LEAF, LINKS = EXAMPLES
LIMIT_KINDS = {
    "front.upper_ball_swing": "angle",
    "front.camber": "angle",
    "front.bump_steer_range": "angle",
    "front.roll_centre_height": "length",
    "rear.roll_centre_height": "length",
}


def with_lines(text: str, *changed: tuple[int, str]) -> str:
    """Return a text with some lines, numbered from 1, replaced."""
    lines = text.split("\n")
    for number, line in changed:
        lines[number - 1] = line
    return "\n".join(lines)
