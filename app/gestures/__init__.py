"""Gestures: what a hand does to the setup and the pose, tested without a window."""
