"""The front as strokes."""
