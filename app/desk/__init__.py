"""The window: it connects the rooms and asks the user."""
