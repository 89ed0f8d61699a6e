"""Lets `python -m kitforge` run the command line."""

from kitforge.cli.main import entry

entry()
