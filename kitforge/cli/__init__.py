"""The command line: one file per subcommand. Parses, calls the pipeline, prints; computes nothing."""
