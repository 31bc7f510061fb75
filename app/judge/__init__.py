"""Judgements of the whole car."""
