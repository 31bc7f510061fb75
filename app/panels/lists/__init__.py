"""Points, values, changes, results and sentences as lists."""
