"""The rear as strokes."""
