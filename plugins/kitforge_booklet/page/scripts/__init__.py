"""The scripts of the page."""
