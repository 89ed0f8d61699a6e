"""Large print: the plain theme at 135 %, black on white. A data package, nothing to run."""
