"""Invented cars, each a setup file that opens, solves, prints and saves to the same bytes."""
