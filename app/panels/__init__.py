"""Panels beside the board: each reads the session, calls the session, and keeps no truth."""
