"""Plain sentences on what a proposal does, and the cautions that belong to its jobs.

One source for the window, the sheet and the report. No Qt.
"""

from app.systems.front.words.cautions import cautions
from app.systems.sentence import Sentence, Severity
from app.systems.sentences import sentences

__all__ = ["Sentence", "Severity", "cautions", "sentences"]
