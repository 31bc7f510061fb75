"""Wishboard: the people's side of the house (documents, board, sheet, command line)."""

from typing import Final

__version__ = "0.1.0"

NAME: Final = "wishboard"
VERSION: Final = __version__
