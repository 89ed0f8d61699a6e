"""Parts laid out by their true shapes: no-fit polygons, a bounded search, and a check that trusts neither."""
