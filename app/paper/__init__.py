"""What sheet and export set paper with: faces, ink, blocks that flow over pages, sizes."""
