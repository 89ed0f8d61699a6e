"""Templates in a sandbox: no attributes that start with an underscore, no files, no calls that change anything."""

from __future__ import annotations

from functools import lru_cache
from math import ceil
from typing import TYPE_CHECKING

from kitforge.language import current_language, say_as
from kitforge.print.errors import ThemeError

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from jinja2.sandbox import ImmutableSandboxedEnvironment

    from kitforge.print.themes import Theme

_BETWEEN = 0.4
"""Between two items of a column, lines."""
LARGEST_HTML = 20_000_000
_FILTERS = (
    *("abs", "batch", "capitalize", "default", "e", "escape", "first", "float", "groupby", "int", "join", "last"),
    *("length", "list", "lower", "map", "max", "min", "reject", "rejectattr", "replace", "reverse", "round", "select"),
    *("selectattr", "slice", "sort", "string", "sum", "title", "trim", "truncate", "unique", "upper"),
)


def fill_template(theme: Theme, template: str, values: Mapping[str, object]) -> str:
    """Return the HTML of a theme's template.

    Text is escaped, a name that does not exist is an error. Raises ThemeError for whatever the template does wrong.
    """
    from jinja2 import TemplateError

    environment = _environment(tuple(theme.templates.items()))
    parts: list[str] = []
    size = 0
    try:
        for part in environment.get_template(template).generate(**values):
            size += len(part)
            if size > LARGEST_HTML:
                raise ThemeError(f"The template '{template}' of the theme '{theme.name}' writes without end.")
            parts.append(part)
    except (TemplateError, TypeError, ValueError, OverflowError, ArithmeticError, RecursionError) as error:
        line = getattr(error, "lineno", None)
        place = f"{getattr(error, 'name', None) or template}{f':{line}' if line else ''}"
        raise ThemeError(f"Theme '{theme.name}', template {place}: {error}") from error
    return "".join(parts)


def halves(items: Sequence[object], signs: int, of: str = "") -> tuple[Sequence[object], Sequence[object]]:
    """Return items for two columns beside each other that are about equally tall, the first one rather taller.

    signs: so many stand in a line of a column; of: the field of an item that is as tall as its text. The typesetter
    would find the middle too, by setting the columns again and again.
    """
    texts = (str(getattr(item, of) if of else item) for item in items)
    lines = [ceil(len(text) / signs) + _BETWEEN for text in texts]
    at = min(range(1, len(lines) + 1), key=lambda cut: (max(sum(lines[:cut]), sum(lines[cut:])), -cut))
    return items[:at], items[at:]


def _counted(one: str, many: str, count: float) -> str:
    return current_language().counted(one, many, count)


@lru_cache(maxsize=4)
def _environment(templates: tuple[tuple[str, str], ...]) -> ImmutableSandboxedEnvironment:
    """Return the sandbox of a theme, kept so that a template is compiled once for all papers and languages."""
    from jinja2 import DictLoader, StrictUndefined
    from jinja2.exceptions import SecurityError
    from jinja2.sandbox import ImmutableSandboxedEnvironment

    class Environment(ImmutableSandboxedEnvironment):
        intercepted_binops = frozenset({"*", "**", "%"})

        def call_binop(self, _context: object, operator: str, left: object, right: object) -> object:
            if not (isinstance(left, int | float) and isinstance(right, int | float)):
                raise SecurityError(f"'{operator}' works on numbers only")
            if operator == "**" and (abs(left) > 1e6 or abs(right) > 16):
                raise SecurityError("the power is too large")
            apply: Mapping[str, Callable[[float, float], float]] = {
                "*": lambda a, b: a * b,
                "**": lambda a, b: a**b,
                "%": lambda a, b: a % b,
            }
            return apply[operator](left, right)

    environment = Environment(
        loader=DictLoader(dict(templates)),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        extensions=["jinja2.ext.i18n"],
    )
    environment.policies["ext.i18n.trimmed"] = True
    environment.install_gettext_callables(say_as, _counted, newstyle=True)  # type: ignore[attr-defined]
    words = {name: environment.globals[name] for name in ("_", "gettext", "ngettext")}
    environment.filters = {name: environment.filters[name] for name in _FILTERS} | {"halves": halves}
    environment.globals = {name: environment.globals[name] for name in ("range", "namespace", "cycler")} | words
    return environment
