"""What parts take up and how near two may come, typed beside the window."""
