"""Gestures: how the mouse changes the setup and the pose; tested without a window."""
