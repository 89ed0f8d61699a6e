"""The exit codes of the command line."""

FINE = 0
FINDINGS = 1
UNREADABLE = 2
BUG = 3
INTERRUPTED = 130
BROKEN_PIPE = 141
TERMINATED = 143
