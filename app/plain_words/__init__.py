"""Plain sentences on what a proposal does, and the cautions that belong to its jobs.

One source for the window, the sheet and the report. No Qt.
"""

from app.plain_words.cautions import cautions
from app.plain_words.sentence import Sentence, Severity
from app.plain_words.sentences import sentences

__all__ = ["Sentence", "Severity", "cautions", "sentences"]
