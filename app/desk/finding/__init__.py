"""The window in which a change is sought: what is wanted, what may move, what was found."""
