"""One file per subcommand: parse, call, print."""
