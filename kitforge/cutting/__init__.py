"""The physics of the cut as pure functions, each with its published source."""
