"""From a theme and data to a PDF: sandboxed templates, shipped fonts, no network."""
