"""Words and figures that every room uses: results, errors, limits."""
