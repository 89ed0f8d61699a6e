"""A strict reader of YAML that keeps positions and reports every problem, not only the first.

It listens to the parser's events instead of building nodes, so that anchors, aliases and tags never take effect and
depth is bounded while reading. Plain words are true, false, null, a decimal number or else a text: `on`, `no`, dates
and times stay text, as in the core schema of YAML 1.2 (section 10.3.2) without its octal and special numbers.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field

import yaml

from kitforge.definition import kinds
from kitforge.definition.positions import Place, Positions
from kitforge.model.findings import Finding, FindingType, Source
from kitforge.model.messages import NO_ADVICE, Message, later, msg, term

Tree = str | int | float | bool | None | list["Tree"] | dict[str, "Tree"]

LARGEST_FILE = 1 << 20
DEEPEST = 50
_INTEGER = re.compile(r"-?(?:0|[1-9][0-9]{0,17})")
_DECIMAL = re.compile(r"-?(?:0|[1-9][0-9]{0,17})?(?:\.[0-9]{1,30})?(?:[eE][-+]?[0-9]{1,3})?")
_WORDS: dict[str, bool | None] = {"true": True, "false": False, "null": None, "~": None, "": None}
_PLAIN_WORDS = (
    (
        "mapping values are not allowed",
        later("There is a ':' too much; put the value in quotes if the ':' belongs to it."),
    ),
    (
        "could not find expected ':'",
        later("A ':' is missing after the key, or the line is not indented like its neighbours."),
    ),
    (
        "did not find expected key",
        later("This line is not indented like the lines above it that belong to the same entry."),
    ),
    ("did not find expected '-'", later("This line is not indented like the list above it, or its '-' is missing.")),
    ("cannot start any token", later("This character cannot stand at the start of a value; put the value in quotes.")),
    ("did not find expected ',' or ']'", later("A ',' or the closing ']' of a list is missing.")),
    ("did not find expected ',' or '}'", later("A ',' or the closing '}' is missing.")),
    ("unexpected end of stream", later("A closing quote is missing.")),
    ("block sequence entries are not allowed", later("A list starts on the line after its key, each entry with '- '.")),
    ("unknown escape character", later('Write \\\\ for a backslash inside "double quotes", or use single quotes.')),
)


class _TooDeepError(Exception):
    """Nested deeper than allowed."""


@dataclass
class _Open:
    """A list or mapping that is still being read. flow: in brackets; last: the last line of what is in it, from 1."""

    into: list[Tree] | dict[str, Tree]
    place: Place
    is_key: bool = False
    flow: bool = False
    last: int = 0
    key: str | None = None
    dropped: bool = False

    def next_key(self, key: str | None, *, dropped: bool = False) -> None:
        """Wait for the value of `key`, or for the next key; the value of a key that is `dropped` is not kept."""
        self.key, self.dropped = key, dropped


@dataclass
class _Builder:
    """Turns parser events into plain data, positions and problems."""

    file: str
    problems: list[Finding] = field(default_factory=list)
    values: dict[Place, Source] = field(default_factory=dict)
    keys: dict[Place, Source] = field(default_factory=dict)
    ends: dict[Place, int] = field(default_factory=dict)
    stack: list[_Open] = field(default_factory=list)
    root: Tree = None
    documents: int = 0

    def take(self, event: yaml.Event) -> None:
        """Take one event of the parser."""
        if isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents == 2:
                advice = msg("Keep one kit per kit.yaml and remove the line '---'.")
                self._report(kinds.YAML_DOCUMENTS, msg("A second document starts here."), advice, event)
        elif self.documents == 1:
            self._check_properties(event)
            if isinstance(event, yaml.AliasEvent):
                self._scalar(None, event)
            elif isinstance(event, yaml.ScalarEvent):
                self._scalar(event.value, event)
            elif isinstance(event, yaml.SequenceStartEvent | yaml.MappingStartEvent):
                self._start({} if isinstance(event, yaml.MappingStartEvent) else [], event)
            elif isinstance(event, yaml.SequenceEndEvent | yaml.MappingEndEvent):
                self._end(event)

    def _check_properties(self, event: yaml.Event) -> None:
        anchor = getattr(event, "anchor", None)
        if isinstance(event, yaml.AliasEvent):
            advice = msg("Write the value out, or name it under `parameters` and use '= name'.")
            self._report(
                kinds.YAML_ALIAS,
                msg("The alias '*{anchor}' is not allowed in kit.yaml.", anchor=str(anchor)),
                advice,
                event,
            )
        elif anchor:
            self._report(
                kinds.YAML_ALIAS,
                msg("The anchor '&{anchor}' is not allowed in kit.yaml.", anchor=str(anchor)),
                msg("Remove it."),
                event,
            )
        tag = getattr(event, "tag", None)
        if tag:
            self._report(
                kinds.YAML_TAG, msg("The tag '{tag}' is not allowed in kit.yaml.", tag=tag), msg("Remove it."), event
            )

    def _start(self, into: list[Tree] | dict[str, Tree], event: yaml.Event) -> None:
        if len(self.stack) >= DEEPEST:
            self._report(
                kinds.YAML_TOO_DEEP,
                msg("Nested more than {deepest} deep.", deepest=DEEPEST),
                msg("Write it flatter."),
                event,
            )
            raise _TooDeepError
        is_key = self._wants_key()
        if is_key:
            self._report(kinds.YAML_KEY, msg("A key must be a plain word."), msg("Write `key: value`."), event)
            self.stack[-1].next_key("?", dropped=True)
        self._place(into, event)
        self.stack.append(_Open(into, self._here(), is_key, flow=bool(getattr(event, "flow_style", False))))

    def _end(self, event: yaml.Event) -> None:
        """Close what was opened last: in brackets it ends with its bracket, else with the last thing in it."""
        ended = self.stack.pop()
        self._ended(ended.place, _last_line(event) if ended.flow else ended.last)
        if self.stack:
            self.stack[-1].next_key("?" if ended.is_key else None, dropped=ended.is_key)

    def _ended(self, place: Place, line: int) -> None:
        self.ends[place] = line
        if self.stack:
            self.stack[-1].last = max(self.stack[-1].last, line)

    def _scalar(self, text: str | None, event: yaml.Event) -> None:
        if self._wants_key():
            self._name(text if text is not None else "?", event)
            return
        self._place(self._value(text, event), event)
        self._ended(self._here(), _last_line(event))
        if self.stack:
            self.stack[-1].next_key(None)

    def _wants_key(self) -> bool:
        return bool(self.stack) and isinstance(self.stack[-1].into, dict) and self.stack[-1].key is None

    def _value(self, text: str | None, event: yaml.Event) -> Tree:
        if text is None or getattr(event, "style", None):
            return text
        if text in _WORDS:
            return _WORDS[text]
        if _INTEGER.fullmatch(text):
            return int(text)
        if _DECIMAL.fullmatch(text) and any(char.isdigit() for char in text):
            number = float(text)
            if math.isfinite(number):
                return number
            self._report(
                kinds.BAD_NUMBER,
                msg("The number {text} is too large.", text=text),
                msg("Write a smaller number."),
                event,
            )
            return 0
        return text

    def _name(self, key: str, event: yaml.Event) -> None:
        top = self.stack[-1]
        merges = key == "<<" and not getattr(event, "style", None)
        if merges:
            self._report(
                kinds.YAML_ALIAS, msg("The merge key '<<' is not allowed in kit.yaml."), msg("Remove it."), event
            )
        first = self.keys.get((*top.place, key))
        if first is None:
            self.keys[(*top.place, key)] = self._source(event)
            top.next_key(key, dropped=merges or key == "?")
            return
        line = self._source(event).line
        if not merges:
            message = msg(
                "The key '{key}' is written twice, in line {line} and in line {line_2}.",
                key=key,
                line=first.line,
                line_2=line,
            )
            self._report(kinds.YAML_DUPLICATE_KEY, message, msg("Remove one of them or give it another name."), event)
        top.next_key(f"{key} (again in line {line})", dropped=True)

    def _here(self) -> Place:
        """Return the path of the value that was placed last."""
        if not self.stack:
            return ()
        top = self.stack[-1]
        return (*top.place, top.key if isinstance(top.into, dict) and top.key is not None else len(top.into) - 1)

    def _place(self, value: Tree, event: yaml.Event) -> None:
        if not self.stack:
            self.root = value
        else:
            top = self.stack[-1]
            if isinstance(top.into, list):
                top.into.append(value)
            elif top.key is not None and not top.dropped:
                top.into[top.key] = value
        self.values[self._here()] = self._source(event)

    def _source(self, event: yaml.Event) -> Source:
        mark = event.start_mark
        return Source(self.file, mark.line + 1, mark.column + 1) if mark else Source(self.file)

    def _report(self, kind: FindingType, message: Message, advice: Message, event: yaml.Event) -> None:
        self.problems.append(kind.new(message, advice, source=self._source(event)))


def read_yaml(data: bytes, file: str) -> tuple[Tree, Positions, list[Finding]]:
    """Return the data, the place of everything in it, and all problems. The data are only sound without problems."""
    if len(data) > LARGEST_FILE:
        message = msg("{file} is larger than {largest_file} KiB.", file=file, largest_file=LARGEST_FILE >> 10)
        found = kinds.FILE_TOO_LARGE.new(message, msg("Move long lists of points into a drawing."), source=Source(file))
        return None, Positions(file), [found]
    builder = _Builder(file)
    try:
        for event in events_of(_decoded(data, builder)):
            builder.take(event)
    except yaml.YAMLError as error:
        builder.problems.append(_syntax_problem(error, file))
    except (_TooDeepError, UnicodeDecodeError):
        pass
    _check_root(builder)
    return builder.root, Positions(file, builder.values, builder.keys, ends=builder.ends), builder.problems


def _last_line(event: yaml.Event) -> int:
    """Return the last line of what an event reads, from 1; a mark at the very start of a line is past its end."""
    mark = event.end_mark
    return mark.line + (1 if mark.column else 0) if mark else 0


def events_of(text: str) -> Iterator[yaml.Event]:
    """Yield what the parser reads, with its places. Raises yaml.YAMLError where it cannot."""
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    return iter(yaml.parse(text, Loader=loader))


def _decoded(data: bytes, builder: _Builder) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        column = error.start - (data.rfind(b"\n", 0, error.start) + 1) + 1
        source = Source(builder.file, line, column)
        advice = msg("Save it as UTF-8 in your text editor.")
        builder.problems.append(kinds.NOT_UTF8.new(msg("The file is not UTF-8 text."), advice, source=source))
        raise


def _syntax_problem(error: yaml.YAMLError, file: str) -> Finding:
    mark = getattr(error, "problem_mark", None)
    if mark is None:
        code = getattr(error, "character", None)
        message = msg("The file holds a character that is not allowed.")
        if isinstance(code, int):
            message = msg("The file holds a character that is not allowed ({code}).", code=f"U+{code:04X}")
        return kinds.YAML_SYNTAX.new(message, msg("Remove control characters."), source=Source(file))
    source = Source(file, mark.line + 1, mark.column + 1)
    said = str(getattr(error, "problem", None) or "")
    advice = next((term(words) for part, words in _PLAIN_WORDS if part in said), NO_ADVICE)
    if "cannot start any token" in said and "\\t" in said:
        advice = msg("Indent with spaces, not with tabs.")
    advice = advice or msg("Check indentation, quotes and brackets here and in the line above.")
    return kinds.YAML_SYNTAX.new(
        msg("The YAML cannot be read here: {problem}.", problem=said or msg("unexpected text")), advice, source=source
    )


def _check_root(builder: _Builder) -> None:
    if not builder.problems and not isinstance(builder.root, dict):
        held = {list: msg("a list"), type(None): msg("nothing")}.get(type(builder.root), msg("a single value"))
        message = msg("{file} holds {held}; keys with values are wanted at the top.", file=builder.file, held=held)
        source = builder.values.get((), Source(builder.file, 1, 1))
        builder.problems.append(
            kinds.YAML_ROOT.new(message, msg("Begin with `kitforge: 1` and `kit:`."), source=source)
        )
