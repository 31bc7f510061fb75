"""The window: what wires the rooms together, and asks."""
