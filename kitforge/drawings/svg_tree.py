"""SVG bytes to a tree of elements with their lines, guarded: no document type, no entities, bounded size and depth."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from xml.sax.handler import ContentHandler, feature_namespaces
from xml.sax.xmlreader import AttributesNSImpl

from kitforge.drawings.limits import ReadingLimits, check_size, too_much
from kitforge.model.drawing import DrawingError, shown
from kitforge.model.messages import Message, msg

if TYPE_CHECKING:
    from xml.sax import SAXParseException
    from xml.sax.xmlreader import Locator

SVG = "http://www.w3.org/2000/svg"

_ROOT = re.compile(rb"<(?:[A-Za-z_][\w.-]*:)?svg[\s/>]")
# error numbers of the XML parser (expat's enum XML_Error)
_NO_ELEMENT, _UNCLOSED, _MISMATCH, _TWICE, _AFTER, _UNDEFINED, _PREFIX = 3, 5, 7, 8, 9, 11, 27
_PLAIN_DOCTYPE = re.compile(rb"<!DOCTYPE\s+svg\b[^<>\[\]]*>", re.IGNORECASE)


@dataclass(slots=True)
class SvgElement:
    """An element: local name ('' for another vocabulary), attributes, names to pick it by, children, text and line.

    style: its own properties once they have been worked out; an element may be shown many times.
    """

    tag: str
    line: int
    attributes: Mapping[str, str]
    labels: tuple[str, ...] = ()
    children: list[SvgElement] = field(default_factory=list)
    text: list[str] = field(default_factory=list)
    parent: SvgElement | None = None
    style: Mapping[str, str] | None = None

    @property
    def key(self) -> str:
        """The element's id, '' if it has none."""
        return self.attributes.get("id", "").strip()

    @property
    def names(self) -> tuple[str, ...]:
        """Id and labels, each once."""
        return tuple(dict.fromkeys(name for name in (self.key, *self.labels) if name))

    @property
    def label(self) -> str:
        """The element as a person may look for it: its kind and its id."""
        return f"<{shown(self.tag, 30)}>" + (f" '{shown(self.key)}'" if self.key else "")

    def fault(self, message: Message) -> DrawingError:
        """Return an error that names this element and its line."""
        said = msg("{element}: {reason}", element=self.label, reason=message)
        return DrawingError(said, line=self.line, entity=shown(self.key or self.tag))


def is_svg(data: bytes) -> bool:
    """Return whether the bytes look like an SVG file."""
    head = data[:65536].lstrip(b"\xef\xbb\xbf \t\r\n")
    return head.startswith(b"<") and _ROOT.search(head) is not None


def parse_svg(data: bytes, limits: ReadingLimits) -> SvgElement:
    """Return the root element. Raises DrawingError for what is no SVG, not well formed, too large or too deep."""
    from xml.sax import SAXException, SAXParseException

    from defusedxml.common import DefusedXmlException
    from defusedxml.expatreader import DefusedExpatParser

    check_size(data, limits)
    # the plain document type that many programs write says nothing and is blanked; one with a subset is refused below
    head = _PLAIN_DOCTYPE.sub(lambda match: b"\n" * match[0].count(b"\n"), data[:65536], count=1)
    handler = _Handler(limits)
    parser = DefusedExpatParser(forbid_dtd=True)
    parser.setFeature(feature_namespaces, True)
    parser.setContentHandler(handler)
    try:
        parser.parse(io.BytesIO(head + data[65536:]))
    except DefusedXmlException as error:
        said = msg("the SVG declares a document type or entities, which are not read; save it as plain SVG")
        raise DrawingError(said) from error
    except SAXParseException as error:
        raise DrawingError(_not_well_formed(error), line=error.getLineNumber() or 0) from error
    except (SAXException, ValueError, LookupError) as error:
        if isinstance(error, DrawingError):
            raise
        raise DrawingError(msg("the SVG is not well-formed XML, or its encoding is not known")) from error
    if handler.root is None or handler.root.tag != "svg":
        raise DrawingError(msg("this is not an SVG file: its root element is not svg"))
    return handler.root


def _not_well_formed(error: SAXParseException) -> Message:
    """Return in our own words what is wrong, by the number that the parser gives its reasons."""
    code = getattr(error.getException(), "code", 0)
    said = {
        _NO_ELEMENT: msg("it holds no element"),
        _UNCLOSED: msg("an element or a name breaks off"),
        _MISMATCH: msg("an element ends that is not the one that is open"),
        _TWICE: msg("an attribute is given twice"),
        _AFTER: msg("something stands after the end of the root element"),
        _UNDEFINED: msg("an entity is used that is not declared"),
        _PREFIX: msg("a prefix is used that is not declared"),
    }
    return msg(
        "the SVG is not well-formed XML: {reason}", reason=said.get(code, msg("a sign stands where it must not"))
    )


class _Handler(ContentHandler):
    """Builds the tree and counts."""

    def __init__(self, limits: ReadingLimits) -> None:
        super().__init__()
        self.limits = limits
        self.root: SvgElement | None = None
        self.stack: list[SvgElement] = []
        self.count = 0
        self.locator: Locator | None = None

    def setDocumentLocator(self, locator: Locator) -> None:  # noqa: N802
        """Keep the place in the file."""
        self.locator = locator

    def startElementNS(  # noqa: N802
        self,
        name: tuple[str | None, str],
        qname: str | None,  # noqa: ARG002
        attrs: AttributesNSImpl,
    ) -> None:
        """Add an element."""
        line = (self.locator.getLineNumber() or 0) if self.locator else 0
        self.count += 1
        if self.count > self.limits.entities:
            raise too_much(msg("it holds more than {most} elements", most=self.limits.entities), line)
        if len(self.stack) >= self.limits.svg_depth:
            raise DrawingError(msg("elements are nested more than {most} deep", most=self.limits.svg_depth), line=line)
        space, local = name
        node = SvgElement(local if space in (SVG, None) else "", line, *_attributes(attrs))
        if self.stack:
            node.parent = self.stack[-1]
            self.stack[-1].children.append(node)
        else:
            self.root = node
        self.stack.append(node)

    def endElementNS(self, name: tuple[str | None, str], qname: str | None) -> None:  # noqa: N802, ARG002
        """Close an element."""
        self.stack.pop()

    def characters(self, content: str) -> None:
        """Keep the text of style elements."""
        if self.stack and self.stack[-1].tag == "style":
            self.stack[-1].text.append(content)


def _attributes(attrs: AttributesNSImpl) -> tuple[dict[str, str], tuple[str, ...]]:
    """Return attributes by local name (own ones before foreign ones) and the labels of any vocabulary."""
    plain: dict[str, str] = {}
    foreign: dict[str, str] = {}
    for (space, local), value in attrs.items():
        (plain if space is None else foreign)[local] = value
    found = (plain.get("label"), foreign.get("label"), plain.get("name"))
    labels = tuple(label.strip() for label in found if label and label.strip())
    if "href" not in plain and "href" in foreign:
        plain["href"] = foreign["href"]
    return plain, labels
