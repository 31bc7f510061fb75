"""The bench of the rear: its pack, wind-up, hop, links."""
