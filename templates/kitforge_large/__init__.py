"""Large print: the plain theme at 130 %, black on white. A data package, nothing to run."""
