"""Fixtures of the tests of the live page."""

from calling import call  # noqa: F401 - a fixture
