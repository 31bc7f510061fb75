"""Paints drawings with a QPainter: on the screen, on paper and in picture files."""
