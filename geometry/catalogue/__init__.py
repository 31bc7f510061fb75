"""The one list of results: names, kinds, signs, sources."""
