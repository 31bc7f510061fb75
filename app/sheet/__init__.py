"""The sheet for the shop, painted for paper."""
