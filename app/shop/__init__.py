"""What goes on paper as plain rows, whichever system they are of. No Qt."""
