"""Points adjusted by distances between them, and what that says of each reading."""
