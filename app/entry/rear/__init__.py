"""The guide through a rear on leaf springs or on links."""
