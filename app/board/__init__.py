"""The board: one custom-painted widget for each view."""
