"""DXF bytes to a document, strictly: what a tolerant reader would repair or drop in silence is an error here."""

from __future__ import annotations

import io
import re
import struct
from typing import TYPE_CHECKING

from kitforge.geometry.drawing import DrawingError
from kitforge.geometry.limits import Limits, check_size, too_much

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.entities.dxfentity import DXFEntity

BINARY_SIGNATURE = b"AutoCAD Binary DXF\r\n\x1a\x00"
"""The 22 bytes that open a binary DXF file (DXF reference, Binary DXF files)."""

_START = re.compile(rb"\A(?:\xef\xbb\xbf)?(?:[ \t]*999\r?\n[^\r\n]*\r?\n)*[ \t]*0[ \t]*\r?\n[ \t]*SECTION[ \t]*\r?\n")
_END = re.compile(rb"\n[ \t]*0[ \t]*\r?\n[ \t]*EOF\s*\Z")
SHAPES = ("LINE", "CIRCLE", "ARC", "ELLIPSE", "LWPOLYLINE", "POLYLINE", "SPLINE", "POINT", "INSERT")
"""The entities that hold or place geometry."""

# What begins with a code of 0: entities, their vertices, entries of tables, objects.
_RECORD = re.compile(rb"\n[ \t]*0[ \t]*\n[ \t]*[A-Z_]")
# Tables, block heads and objects that an empty file of a common drawing program brings along.
_FIXED_RECORDS = 5_000

_LINE = re.compile(r"[Ll]ine:? (\d+)")


def is_dxf(data: bytes) -> bool:
    """Return whether the bytes begin like a DXF file, ASCII or binary."""
    return data.startswith(BINARY_SIGNATURE) or _START.match(_unix(data[:4096])) is not None


def _unix(data: bytes) -> bytes:
    return data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")


def load_dxf(data: bytes, limits: Limits) -> Document:
    """Return the document. Raises DrawingError for anything that is not a whole and sound DXF file."""
    check_size(data, limits)
    if not is_dxf(data):
        raise DrawingError("this is not a DXF file: it does not begin with a SECTION")
    try:
        document = _parsed(data, limits)
        _audit(document)
    except DrawingError:
        raise
    except RecursionError as error:
        raise DrawingError("the drawing is nested too deeply") from error
    except (
        ValueError,
        KeyError,
        IndexError,
        TypeError,
        AttributeError,
        AssertionError,
        StopIteration,
        ArithmeticError,
        OSError,
        struct.error,
    ) as error:
        raise _broken(error) from error
    except Exception as error:
        from ezdxf.lldxf.const import DXFError

        if isinstance(error, DXFError):
            raise _broken(error) from error
        raise
    return document


def _audit(document: Document) -> None:
    """Raise DrawingError for what the library cannot repair, and for any line that its repairs throw away."""
    before = [e for e in document.entitydb.values() if e.dxftype() in SHAPES and e.is_alive]
    names = [(_kind(e), str(e.dxf.handle or "")) for e in before]
    auditor = document.audit()
    if auditor.has_errors:
        first = auditor.errors[0]
        handle = str(first.entity.dxf.handle or "") if first.entity is not None and first.entity.is_alive else ""
        raise DrawingError(f"the DXF file is damaged: {first.message}", entity=handle)
    for entity, (kind, handle) in zip(before, names, strict=True):
        if not entity.is_alive:
            said = [entry.message for entry in auditor.fixes if handle and f"#{handle}" in entry.message]
            reason = said[0] if said else "it is not valid"
            raise DrawingError(f"the DXF file is damaged: {kind} {handle} cannot be used: {reason}", entity=handle)


def _kind(entity: DXFEntity) -> str:
    kind = entity.dxftype()
    return f"{kind} of block '{entity.dxf.get('name', '')}'" if kind == "INSERT" else kind


def _broken(error: Exception) -> DrawingError:
    text = str(error) or type(error).__name__
    line = _LINE.search(text)
    return DrawingError(f"the DXF file is damaged: {text}", line=int(line[1]) if line else 0)


def _check_counts(plain: bytes, limits: Limits) -> None:
    """Refuse at once what the library would take long to read."""
    tags = plain.count(b"\n") // 2
    if tags > limits.tags:
        raise too_much(f"the file holds {tags} codes with their values; {limits.tags} are read")
    records = sum(1 for _ in _RECORD.finditer(plain))
    if records > limits.entities + _FIXED_RECORDS:
        raise too_much(f"the file holds {records} entities, vertices and table entries; {limits.entities} are read")


def _parsed(data: bytes, limits: Limits) -> Document:
    from ezdxf.document import Drawing as Document
    from ezdxf.filemanagement import dxf_stream_info
    from ezdxf.lldxf.tagger import binary_tags_loader

    if data.startswith(BINARY_SIGNATURE):
        if not data.rstrip(b"\r\n").endswith(b"EOF\x00"):
            raise DrawingError("the DXF file breaks off: its end mark is missing")
        return Document.load(binary_tags_loader(data))
    plain = _unix(data)
    if not _END.search(plain[-200:]):
        raise DrawingError("the DXF file breaks off: its end mark (EOF) is missing", line=plain.count(b"\n") + 1)
    _check_counts(plain, limits)
    plain = plain.removeprefix(b"\xef\xbb\xbf")
    info = dxf_stream_info(io.StringIO(plain.decode("utf-8", errors="ignore")))
    return Document.read(io.StringIO(plain.decode(info.encoding, errors="surrogateescape")))


def line_of_handle(data: bytes, handle: str) -> int:
    """Return the line of an ASCII file on which an entity begins, 0 if it is not found."""
    if data.startswith(BINARY_SIGNATURE) or not handle:
        return 0
    plain = _unix(data)
    found = re.search(rb"\n[ \t]*5[ \t]*\n[ \t]*" + re.escape(handle.encode()) + rb"[ \t]*\n", plain, re.IGNORECASE)
    return plain.count(b"\n", 0, found.start()) + 1 if found else 0
