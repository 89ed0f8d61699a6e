"""The plain theme: a data package with templates and style sheets, nothing to run."""
