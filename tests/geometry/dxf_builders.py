"""Drawings for tests: DXF documents in memory and the smallest hand-written files."""

import io
from collections.abc import Callable

import ezdxf
from ezdxf.document import Drawing as Document
from ezdxf.layouts import Modelspace

HALF = 0.41421356237309503


def document(version: str = "R2000", units: int = 4) -> Document:
    doc = ezdxf.new(version, units=units)
    doc.header["$INSUNITS"] = units
    return doc


def ascii_bytes(doc: Document) -> bytes:
    stream = io.StringIO()
    doc.write(stream)
    return stream.getvalue().encode(doc.output_encoding, errors="surrogateescape")


def binary_bytes(doc: Document) -> bytes:
    stream = io.BytesIO()
    doc.write(stream, fmt="bin")
    return stream.getvalue()


def drawn(draw: Callable[[Modelspace], object], version: str = "R2000", units: int = 4) -> bytes:
    doc = document(version, units)
    draw(doc.modelspace())
    return ascii_bytes(doc)


def bare(*tags: object, header: str = "") -> bytes:
    """A DXF of nothing but an ENTITIES section, tag values as given, which R10 files may be."""
    body = "\n".join(str(tag) for tag in tags)
    return f"0\nSECTION\n{header}2\nENTITIES\n{body}\n0\nENDSEC\n0\nEOF\n".encode()
