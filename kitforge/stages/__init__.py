"""The stages of the pipeline, one module each."""
