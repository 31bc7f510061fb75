"""Wishboard: the people's side of the house (documents, board, sheet, command line)."""
