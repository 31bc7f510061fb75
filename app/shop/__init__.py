"""The content of the paper as plain rows, for every system. No Qt."""
