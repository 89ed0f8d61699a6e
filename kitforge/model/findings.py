"""Findings: what is wrong or risky in a kit, each with a stable code, a place and an advice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Protocol

from kitforge.model.messages import NO_ADVICE, Message, Text, Wording
from kitforge.model.record import record

KIT_FILE = "kit.yaml"
"""What the file of every kit is called."""


class Severity(StrEnum):
    """How bad a finding is, worst first."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"

    @property
    def rank(self) -> int:
        """0 for the worst, rising as it gets milder."""
        return list(Severity).index(self)


@dataclass(frozen=True, slots=True, order=True)
class Source:
    """A place in a file: path relative to the kit's folder, line and column counted from 1 (0: the whole file)."""

    file: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}" if self.line else self.file

    @property
    def kit_line(self) -> int:
        """The line in kit.yaml, 0 for a place in another file."""
        return self.line if self.file == KIT_FILE else 0


@record
class OnSheet:
    """A place on a sheet of stock: key of the stock, number of the sheet, face that is up, x and y in mm."""

    stock: str
    number: int
    face: str
    x: float
    y: float


MendValue = str | float | tuple[tuple[str, float], ...]
"""What a change writes: a word, a length in mm, or lengths by their keys."""


@record
class Mend:
    """A change of kit.yaml that mends a finding: a value at keys below an entry.

    The entry is the operation that the finding is about; with `drawing`, every part that is drawn there; with `stock`,
    the stock of that key. beside: lengths by their keys leave what else stands there as it is.
    """

    keys: tuple[str, ...]
    value: MendValue
    drawing: str = ""
    stock: str = ""
    beside: bool = False


@record
class FindingType:
    """A kind of finding. `code` is stable and documented; `about` says in one sentence what it means.

    same_as: codes of findings about a drawing that tell the same fault of the line as it is drawn, with its place in
    the file; after: codes of findings about the same part and operation from which this one only follows. A check tells
    neither twice. background: whether it is true of nearly every kit, so that a terminal shows it only when asked.
    """

    code: str
    severity: Severity
    about: str
    same_as: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    background: bool = False

    def new(
        self,
        message: Message,
        advice: Message = NO_ADVICE,
        *,
        source: Source,
        part: str | None = None,
        operation: str | None = None,
        at: tuple[float, float] | None = None,
        severity: Severity | None = None,
        on_sheet: OnSheet | None = None,
        mend: Mend | None = None,
    ) -> Finding:
        """Return a finding of this kind. `at` is mm in the part's own coordinates."""
        return Finding(
            self.code, severity or self.severity, message, advice, source, part, operation, at, on_sheet, self, mend
        )


@record
class Finding:
    """One thing that is wrong or risky: what it is, where, and what to do about it; mend: a change known to help."""

    code: str
    severity: Severity
    message: Text
    advice: Text
    source: Source
    part: str | None = None
    operation: str | None = None
    at: tuple[float, float] | None = None
    on_sheet: OnSheet | None = None
    kind: FindingType | None = field(default=None, compare=False, repr=False)
    mend: Mend | None = field(default=None, compare=False, repr=False)

    def as_line(self) -> str:
        """Return the finding as one line for a terminal or a log."""
        return f"{self.source}: {self.severity} [{self.code}] {self.message} {self.advice}".rstrip()


def in_words(findings: Iterable[Finding], words: Wording) -> tuple[Finding, ...]:
    """Return findings whose messages are the words that a reader gets, in the language and units of `words`."""
    return tuple(replace(one, message=words.write(one.message), advice=words.write(one.advice)) for one in findings)


def sort_findings(findings: Iterable[Finding]) -> list[Finding]:
    """Return the findings worst first, then by place in the files, then by code, without exact repeats."""
    unique = dict.fromkeys(findings)
    return sorted(unique, key=lambda f: (f.severity.rank, f.source, f.code))


class Ranked(Protocol):
    """Whatever has a severity: a finding, or what is told of one."""

    @property
    def severity(self) -> Severity:
        """How bad it is."""


def count_by_severity(findings: Iterable[Ranked]) -> dict[str, int]:
    """Return how many findings there are of each severity, with a zero for those that did not occur."""
    seen = Counter(finding.severity for finding in findings)
    return {severity.value: seen[severity] for severity in Severity}
