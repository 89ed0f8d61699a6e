"""The part of CSS that decides whether an SVG element is drawn: display, visibility, paint, what cannot be followed.

Selectors: element names, classes, ids, *, lists, descendants and children. Cascade by importance, specificity and order
(CSS Cascading and Inheritance 3); the style attribute beats rules, rules beat presentation attributes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from kitforge.drawings.svg_paint import PAINTS
from kitforge.drawings.svg_tree import SvgElement
from kitforge.model.drawing import DrawingError, shown
from kitforge.model.messages import Message, msg

WATCHED = ("display", "visibility", "transform", "clip-path", "mask", *PAINTS)
"""The properties that are looked at."""

MAX_RULES = 2000


@dataclass(frozen=True, slots=True)
class Compound:
    """One part of a selector: element name ('' for any), ids and classes, and whether it is a direct parent."""

    tag: str
    ids: frozenset[str]
    classes: frozenset[str]
    parent_of_next: bool = False

    @property
    def key(self) -> str:
        """Under what a rule that ends in this part is looked up: an id, a class, a name, or '' for any element."""
        if self.ids:
            return f"#{min(self.ids)}"
        return f".{min(self.classes)}" if self.classes else self.tag

    def fits(self, node: SvgElement) -> bool:
        """Return whether an element meets this part."""
        if self.tag and node.tag != self.tag:
            return False
        own = frozenset(node.attributes.get("class", "").split())
        return self.ids <= {node.key} and self.classes <= own


@dataclass(frozen=True, slots=True)
class StyleRule:
    """A selector from the outermost part to the element itself, with the declarations that matter."""

    parts: tuple[Compound, ...]
    declarations: tuple[tuple[str, str, bool], ...]
    order: int

    @property
    def weight(self) -> tuple[int, int, int, int]:
        """Specificity and order."""
        ids = sum(len(part.ids) for part in self.parts)
        classes = sum(len(part.classes) for part in self.parts)
        return ids, classes, sum(bool(part.tag) for part in self.parts), self.order

    def fits(self, node: SvgElement) -> bool:
        """Return whether the rule speaks of an element."""
        return self.parts[-1].fits(node) and _ancestors_fit(self.parts[:-1], node)


def _ancestors_fit(parts: tuple[Compound, ...], node: SvgElement) -> bool:
    if not parts:
        return True
    above = node.parent
    while above is not None:
        if parts[-1].fits(above) and _ancestors_fit(parts[:-1], above):
            return True
        if parts[-1].parent_of_next:
            return False
        above = above.parent
    return False


class Styles:
    """The style sheets of one file."""

    def __init__(self, root: SvgElement) -> None:
        self.count = 0
        self.rules: dict[str, list[StyleRule]] = {}
        self.unread: list[Message] = []
        for node in _style_elements(root):
            self._read("".join(node.text), node)

    def of(self, node: SvgElement) -> Mapping[str, str]:
        """Return the watched properties that apply to an element itself (nothing inherited)."""
        if node.style is None:
            node.style = self._worked_out(node)
        return node.style

    def _worked_out(self, node: SvgElement) -> dict[str, str]:
        found = {name: (node.attributes[name].strip(), (0,)) for name in WATCHED if name in node.attributes}
        found.pop("transform", None)
        ranked: dict[str, tuple[str, tuple[int, ...]]] = dict(found)
        for rule in self._likely(node):
            if rule.fits(node):
                for name, value, important in rule.declarations:
                    _outrank(ranked, name, value, (2 if not important else 4, *rule.weight))
        for name, value, important in _declarations_of(node.attributes.get("style", "")):
            _outrank(ranked, name, value, (3 if not important else 5,))
        return {name: value for name, (value, _) in ranked.items()}

    def _likely(self, node: SvgElement) -> Iterator[StyleRule]:
        """Yield the rules that may speak of an element, by its id, its classes and its name."""
        if self.rules:
            words = (f".{word}" for word in node.attributes.get("class", "").split())
            for key in dict.fromkeys((f"#{node.key}", *words, node.tag, "")):
                yield from self.rules.get(key, ())

    def _read(self, text: str, node: SvgElement) -> None:
        import tinycss2

        for item in tinycss2.parse_stylesheet(text, skip_comments=True, skip_whitespace=True):
            if item.type == "error":
                self.unread.append(msg("A style rule that begins on line {line} cannot be read.", line=node.line))
            elif item.type == "at-rule":
                self.unread.append(_not_applied(f"@{item.at_keyword}"))
            elif item.type == "qualified-rule":
                self._add(tinycss2.serialize(item.prelude).strip(), item.prelude, item.content)

    def _add(self, selector: str, prelude: list[object], content: list[object]) -> None:
        declarations = tuple(_declarations(content))
        if not declarations:
            return
        for tokens in _split_at_commas(prelude):
            parts = _parts(tokens)
            if parts is None:
                self.unread.append(_not_applied(selector))
            else:
                self.rules.setdefault(parts[-1].key, []).append(StyleRule(parts, declarations, self.count))
                self.count += 1
        if self.count > MAX_RULES:
            most = msg("the SVG has more than {most} style rules that paint, hide or move elements", most=MAX_RULES)
            raise DrawingError(most)


def _not_applied(selector: str) -> Message:
    return msg("A style rule is not understood and was not applied: {selector}", selector=shown(selector, 80))


def _outrank(ranked: dict[str, tuple[str, tuple[int, ...]]], name: str, value: str, weight: tuple[int, ...]) -> None:
    if name not in ranked or weight >= ranked[name][1]:
        ranked[name] = (value, weight)


def _style_elements(root: SvgElement) -> Iterable[SvgElement]:
    stack = [root]
    while stack:
        node = stack.pop()
        if node.tag == "style" and node.attributes.get("type", "text/css") in ("", "text/css"):
            yield node
        stack.extend(reversed(node.children))


@lru_cache(maxsize=1024)
def _declarations_of(text: str) -> tuple[tuple[str, str, bool], ...]:
    """Return the watched properties of a style attribute; most name none and need no parser (`\\` may spell one)."""
    plain = text.lower()
    if "\\" not in plain and not any(name in plain for name in WATCHED):
        return ()
    return tuple(_declarations(text))


def _declarations(source: object) -> Iterable[tuple[str, str, bool]]:
    """Yield (property, value, important) for the watched properties of a style text or of a rule's body."""
    if not source:
        return
    import tinycss2

    for item in tinycss2.parse_blocks_contents(source, skip_comments=True, skip_whitespace=True):
        if item.type == "declaration" and item.lower_name in WATCHED:
            yield item.lower_name, tinycss2.serialize(item.value).strip().lower(), item.important


def _split_at_commas(tokens: list[object]) -> Iterable[list[object]]:
    part: list[object] = []
    for token in tokens:
        if token.type == "literal" and token.value == ",":  # type: ignore[attr-defined]
            yield part
            part = []
        else:
            part.append(token)
    yield part


def _parts(tokens: list[object]) -> tuple[Compound, ...] | None:
    """Return the parts of one selector, or None if it uses more than names, classes, ids, descendants and children."""
    parts: list[Compound] = []
    word: list[object] = []
    for token in [*tokens, None]:
        kind, value = (token.type, getattr(token, "value", "")) if token is not None else ("end", "")  # type: ignore[attr-defined]
        child = kind == "literal" and value == ">"
        if kind not in ("whitespace", "end") and not child:
            word.append(token)
            continue
        if word:
            compound = _compound(word)
            if compound is None:
                return None
            parts.append(compound)
            word = []
        if child:
            if not parts or parts[-1].parent_of_next:
                return None
            parts[-1] = Compound(parts[-1].tag, parts[-1].ids, parts[-1].classes, parent_of_next=True)
    return tuple(parts) if parts and not parts[-1].parent_of_next else None


def _compound(tokens: list[object]) -> Compound | None:
    tag, ids, classes = "", set(), set()
    dot = False
    for index, token in enumerate(tokens):
        kind, value = token.type, getattr(token, "value", "")  # type: ignore[attr-defined]
        if dot and kind == "ident":
            classes.add(value)
            dot = False
        elif dot:
            return None
        elif kind == "literal" and value == ".":
            dot = True
        elif kind == "hash":
            ids.add(value)
        elif index == 0 and (kind == "ident" or (kind == "literal" and value == "*")):
            tag = value if kind == "ident" else ""
        else:
            return None
    return None if dot else Compound(tag, frozenset(ids), frozenset(classes))
