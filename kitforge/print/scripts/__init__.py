"""Scripts that more than one page runs."""
