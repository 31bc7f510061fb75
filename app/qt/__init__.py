"""The border to Qt: the display, its libraries, and what no exception may cross."""
