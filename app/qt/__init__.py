"""The border to Qt: the display, its libraries, and a guard against exceptions."""
