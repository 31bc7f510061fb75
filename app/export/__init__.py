"""Export of pictures and tables."""
