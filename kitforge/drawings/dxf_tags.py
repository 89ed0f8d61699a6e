"""DXF bytes, ASCII or binary, to tags: codes and values side by side, strictly, each with its line.

The types of values by group code follow the DXF reference, chapter "Group Code Value Types"; the binary form its
chapter "Binary DXF Files".
"""

from __future__ import annotations

import codecs
import re
import struct
from collections.abc import Sequence
from dataclasses import dataclass

from kitforge.drawings.limits import ReadingLimits, check_size, too_much
from kitforge.model.drawing import DrawingError, shown
from kitforge.model.messages import msg

BINARY_SIGNATURE = b"AutoCAD Binary DXF\r\n\x1a\x00"
"""The 22 bytes that open a binary DXF file (DXF reference, Binary DXF Files)."""

Value = str | int | float

_START = re.compile(rb"\A(?:\xef\xbb\xbf)?(?:[ \t]*999\r?\n[^\r\n]*\r?\n)*[ \t]*0[ \t]*\r?\n[ \t]*SECTION[ \t]*\r?\n")
_CODE = re.compile(r"[ \t]*-?[0-9]{1,4}[ \t]*")
_VERSION = re.compile(rb"\n\s*\$ACADVER\n\s*1\n\s*AC([0-9]{4})")
_CODE_PAGE = re.compile(rb"\n\s*\$DWGCODEPAGE\n\s*3\n\s*ANSI_([0-9]{3,5})")
_UNICODE = 1021  # from this version on text is UTF-8
_HIGHEST = 1071
_LOWEST = -5

# First and last code of each range, and the type of its values: s text, d double, h, i, q whole numbers of 2, 4, 8
# bytes, b one byte, c a chunk of bytes.
_TYPES = (
    *((-5, 9, "s"), (10, 59, "d"), (60, 79, "h"), (90, 99, "i"), (100, 105, "s"), (110, 149, "d"), (160, 169, "q")),
    *((170, 179, "h"), (210, 239, "d"), (270, 289, "h"), (290, 299, "b"), (300, 309, "s"), (310, 319, "c")),
    *((320, 369, "s"), (370, 389, "h"), (390, 399, "s"), (400, 409, "h"), (410, 419, "s"), (420, 429, "i")),
    *((430, 439, "s"), (440, 459, "i"), (460, 469, "d"), (470, 481, "s"), (999, 1003, "s"), (1004, 1004, "c")),
    *((1005, 1009, "s"), (1010, 1059, "d"), (1060, 1070, "h"), (1071, 1071, "i")),
)
_TYPE_OF = {code: kind for low, high, kind in _TYPES for code in range(low, high + 1)}
_FIXED = {kind: struct.Struct(f"<{kind}") for kind in "dhiqb"}


@dataclass(frozen=True, slots=True)
class Tags:
    """The tags of a file. lines: whether they have lines (they do in an ASCII file)."""

    codes: Sequence[int]
    values: Sequence[Value]
    lines: bool

    def line(self, index: int) -> int:
        """Return the line on which a tag's code stands, counted from 1; 0 in a binary file."""
        return 2 * index + 1 if self.lines else 0


def is_dxf(data: bytes) -> bool:
    """Return whether the bytes begin like a DXF file, ASCII or binary."""
    return data.startswith(BINARY_SIGNATURE) or _START.match(_unix(data[:4096])) is not None


def tags_of(data: bytes, limits: ReadingLimits) -> Tags:
    """Return the tags of a file up to its end mark. Raises DrawingError for what is not a whole DXF file."""
    check_size(data, limits)
    if not is_dxf(data):
        raise DrawingError(msg("this is not a DXF file: it does not begin with a SECTION"))
    tags = _binary(data) if data.startswith(BINARY_SIGNATURE) else _ascii(data, limits)
    _check_codes(tags)
    return tags


def _unix(data: bytes) -> bytes:
    return data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")


def _ascii(data: bytes, limits: ReadingLimits) -> Tags:
    plain = _unix(data).removeprefix(b"\xef\xbb\xbf").rstrip()
    count = plain.count(b"\n") + 1
    if count // 2 > limits.tags:
        raise too_much(
            msg("the file holds {count} codes with their values; {most} are read", count=count // 2, most=limits.tags)
        )
    lines = _decoded(plain).split("\n")
    codes = lines[0::2]
    known = {text: int(text) for text in set(codes) if _CODE.fullmatch(text)}
    if lines[-1].strip() != "EOF" or len(lines) % 2 or known.get(codes[-1]) != 0:
        raise DrawingError(msg("the DXF file breaks off: its end mark (EOF) is missing"), line=count)
    try:
        numbers = [known[text] for text in codes]
    except KeyError:
        index, text = next((k, text) for k, text in enumerate(codes) if text not in known)
        raise _no_code(text, 2 * index + 1) from None
    return Tags(numbers, lines[1::2], lines=True)


def _no_code(text: str, line: int) -> DrawingError:
    said = msg("the DXF file is damaged: '{text}' stands where a whole number, a code, should", text=shown(text, 30))
    return DrawingError(said, line=line)


def _check_codes(tags: Tags) -> None:
    """Raise DrawingError for codes that no DXF file has."""
    odd = {code for code in set(tags.codes) if not _LOWEST <= code <= _HIGHEST}
    if odd:
        index = next(k for k, code in enumerate(tags.codes) if code in odd)
        raise _no_code(str(tags.codes[index]), tags.line(index))


def _decoded(plain: bytes) -> str:
    """Return the text: UTF-8 where it is valid, else by the code page that the header names."""
    if plain.isascii():
        return plain.decode("ascii")
    try:
        return plain.decode("utf-8")
    except UnicodeDecodeError:
        return plain.decode(_code_page(plain[:65536]), errors="replace")


def _code_page(head: bytes) -> str:
    version, page = _VERSION.search(head), _CODE_PAGE.search(head)
    if version and int(version[1]) >= _UNICODE:
        return "utf-8"
    name = f"cp{int(page[1])}" if page else "cp1252"
    try:
        return codecs.lookup(name).name
    except LookupError:
        return "cp1252"


def _binary(data: bytes) -> Tags:
    """Return the tags of a binary file: codes of one byte in old ones, of two bytes since R13."""
    if not data.rstrip(b"\r\n").endswith(b"EOF\x00"):
        raise DrawingError(msg("the DXF file breaks off: its end mark is missing"))
    at = len(BINARY_SIGNATURE)
    # the first code is 0 or 999: in two bytes the second of them is 0 or 3; in one byte a letter follows, or 255 leads
    wide = data[at] != 255 and data[at + 1] in (0, 3)
    codes: list[int] = []
    values: list[Value] = []
    try:
        while True:
            code, at = _binary_code(data, at, wide=wide)
            value, at = _binary_value(data, at, _TYPE_OF[code])
            codes.append(code)
            values.append(value)
            if code == 0 and value == "EOF":
                return Tags(codes, values, lines=False)
    except (struct.error, IndexError, KeyError, ValueError):
        said = msg("the binary DXF file is damaged: what stands at byte {at} cannot be read", at=at)
        raise DrawingError(said) from None


def _binary_code(data: bytes, at: int, *, wide: bool) -> tuple[int, int]:
    if wide:
        return struct.unpack_from("<h", data, at)[0], at + 2
    if data[at] == 255:
        return struct.unpack_from("<h", data, at + 1)[0], at + 3
    return data[at], at + 1


def _binary_value(data: bytes, at: int, kind: str) -> tuple[Value, int]:
    if kind == "s":
        end = data.index(b"\x00", at)
        return _decoded_value(data[at:end]), end + 1
    if kind == "c":
        return "", at + 1 + data[at]
    form = _FIXED[kind]
    return form.unpack_from(data, at)[0], at + form.size


def _decoded_value(raw: bytes) -> str:
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError:
        return raw.decode("cp1252", errors="replace")


__all__ = ["BINARY_SIGNATURE", "Tags", "Value", "is_dxf", "tags_of"]
