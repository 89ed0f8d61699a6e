"""Changing a value in the text of kit.yaml, so that everything else stays as it was written, comments too.

Places come from the nodes of PyYAML, which know where each begins and ends; the text was read before by our own reader.
"""

from __future__ import annotations

import yaml

from kitforge.definition.positions import Place


def with_value(text: str, place: Place, value: str) -> str:
    """Return the text with a value at a place: in the place of what is there, else as a new key of the entry around it.

    value: YAML on one line. Entries that are missing above the last key are written as well. Raises KeyError for a
    place below something that is no entry.
    """
    node: yaml.Node | None = yaml.compose(text, Loader=yaml.SafeLoader)
    for depth, step in enumerate(place):
        if isinstance(node, yaml.SequenceNode) and isinstance(step, int) and step < len(node.value):
            node = node.value[step]
            continue
        if not isinstance(node, yaml.MappingNode):
            raise KeyError(place[: depth + 1])
        pair = next(((key, inner) for key, inner in node.value if key.value == step), None)
        if pair is None:
            return _added(text, node, str(step), _wrapped(place[depth + 1 :], value))
        if depth + 1 == len(place):
            return _replaced(text, pair[0], pair[1], value)
        node = pair[1]
    raise KeyError(place)


def _wrapped(keys: Place, value: str) -> str:
    """Return a value as the entry of the keys above it, the innermost last."""
    for key in reversed(keys):
        value = f"{{{key}: {value}}}"
    return value


def _replaced(text: str, key: yaml.Node, old: yaml.Node, value: str) -> str:
    """Put a value behind its key, on the line of the key; a comment behind the old one stays."""
    colon = text.index(":", key.end_mark.index)
    return f"{text[: colon + 1]} {value}{text[_end(old) :]}"


def _added(text: str, entry: yaml.MappingNode, key: str, value: str) -> str:
    """Write a new key: first in brackets, else on a line of its own below the first key that is done on one line."""
    if entry.flow_style or not entry.value:
        start = entry.start_mark.index
        rest = text[start + 1 :]
        return f"{text[: start + 1]}{key}: {value}{'' if rest.lstrip().startswith('}') else ', '}{rest}"
    indent = " " * entry.start_mark.column
    for name, inner in entry.value:
        if name.start_mark.line == _line_of(text, _end(inner)):
            end = text.find("\n", _end(inner))
            end = len(text) if end < 0 else end
            return f"{text[:end]}\n{indent}{key}: {value}{text[end:]}"
    start = entry.start_mark.index
    return f"{text[:start]}{key}: {value}\n{indent}{text[start:]}"


def _end(node: yaml.Node) -> int:
    """Return where a node ends: of a block, where the last thing in it does, and not where the next one begins."""
    if isinstance(node, yaml.ScalarNode) or getattr(node, "flow_style", False) or not node.value:
        return node.end_mark.index
    inside = [one for pair in node.value for one in (pair if isinstance(pair, tuple) else (pair,))]
    return max(_end(one) for one in inside)


def _line_of(text: str, index: int) -> int:
    return text.count("\n", 0, index)
