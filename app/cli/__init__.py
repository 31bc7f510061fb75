"""The command line: the study that the window shows, as tables, JSON, CSV and sheet. No Qt here."""

from app.cli.commands import run

__all__ = ["run"]
