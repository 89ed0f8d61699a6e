"""Reports of tests that can always be sent from a worker to the process that prints them.

A property test puts any bytes into a drawing; a library logs them, and pytest keeps what was logged with the report
of every test, also of one that passes. Bytes that are no UTF-8 are then lone surrogates in a text, which cannot be
encoded: the whole parallel run would end without a word about why.
"""

from __future__ import annotations

from collections.abc import Generator

import pytest


@pytest.hookimpl(wrapper=True)
def pytest_report_to_serializable() -> Generator[None, object, object]:
    return encodable((yield))


def encodable(value: object) -> object:
    """Return lists, dictionaries and texts in which every character can be encoded; others are written as \\udc8f."""
    if isinstance(value, str):
        return value.encode("utf-8", "backslashreplace").decode("utf-8")
    if isinstance(value, dict):
        return {encodable(key): encodable(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return type(value)(encodable(inner) for inner in value)
    return value
