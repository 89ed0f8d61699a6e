"""start.html: the booklet for a screen in one file, complete without any script."""
