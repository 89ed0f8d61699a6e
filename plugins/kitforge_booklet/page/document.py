"""start.html put together: the booklet's own records in every language, pictures and typeface inside, one policy."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING

from kitforge.language import language, later, say, say_as, use_language
from kitforge.model.own_words import in_language
from kitforge.model.pack import PackFile
from kitforge.print.themes import Theme, load_theme
from kitforge_booklet.page.pictures import pictures_of, symbols
from kitforge_booklet.page.policy import policy
from kitforge_booklet.page.reckoning import reckoning_data, worksheet_script
from kitforge_booklet.page.script_text import RECKONING, SCREEN, script_text
from kitforge_booklet.page.typeface import face_rules

if TYPE_CHECKING:
    from markupsafe import Markup

    from kitforge.cutting.worksheet.plain import Plain
    from kitforge.model.kit import Kit
    from kitforge.model.pack import BuildOptions
    from kitforge.model.plan import Plan
    from kitforge_booklet.records import Booklet

NAME = "start.html"
ABOUT = later("The booklet for a screen, in one file: open it in a browser.")
_PLAIN = "plain"
OWN = 99
"""The number of the settings that the page computes for the reader's own machine; no class has it."""


@dataclass(frozen=True, slots=True)
class PageLanguage:
    """A language of the page: its code, its own name, what comes before and after the choice of a class, and the words
    of the choices."""

    code: str
    name: str
    opening: Markup
    body: Markup
    language_word: str
    class_word: str
    all_word: str
    own_word: str


@dataclass(frozen=True, slots=True)
class SizeChoice:
    """A size in the same pack: key and title, where its page is from this one, and whether it is this one."""

    key: str
    title: str
    address: str
    this: bool


@dataclass(frozen=True, slots=True)
class ClassChoice:
    """A class of machine to choose: its number, and its name in each language as (code, words)."""

    number: int
    names: tuple[tuple[str, str], ...]


def start_page(kit: Kit, plan: Plan, options: BuildOptions, booklets: Mapping[str, Booklet]) -> PackFile:
    """Return the page. booklets: what it says, by the codes of the languages, the first one being shown first."""
    from markupsafe import Markup

    from kitforge.print.templates import fill_template

    theme = page_theme(options.theme)
    pictures = {one.src: one for booklet in booklets.values() for one in pictures_of(booklet)}
    numbers = {src: number for number, src in enumerate(pictures, 1)}
    contents = [_content(theme, kit, code, booklet, numbers) for code, booklet in booklets.items()]
    shown = {
        src: number
        for src, number in numbers.items()
        if any(f'"#p{number}"' in f"{one.opening}{one.body}" for one in contents)
    }
    choices = _choices(booklets)
    script = script_text(worksheet_script(kit), RECKONING + SCREEN)
    data = _as_json(_with_key(kit, reckoning_data(kit, plan, options, script)))
    drawn = symbols(pictures, shown)
    style = "\n".join(
        (
            face_rules("".join((data, drawn, *(f"{one.opening}{one.body}" for one in contents)))),
            theme.text("page.css"),
            *_switches(contents, choices),
            *_names(booklets),
            theme.text("page-theme.css"),
        )
    )
    values = {
        "kit": kit.info,
        "languages": contents,
        "choices": choices,
        "policy": policy((script,), (style,)),
        "style": Markup(style),
        "pictures": Markup(drawn),
        "script": Markup(script),
        "data": Markup(data),
    }
    return PackFile(NAME, fill_template(theme, "page.html", values).encode("utf-8"), ABOUT, guide=True)


def _with_key(kit: Kit, data: dict[str, Plain]) -> dict[str, Plain]:
    """Return the data with the name under which a browser keeps notes: one for the kit, its version and its figures."""
    digest = hashlib.sha256(_as_json(data).encode("utf-8")).hexdigest()[:8]
    return {"key": f"kitforge:{kit.info.slug}@{kit.info.version}#{digest}", **data}


def _as_json(data: dict[str, Plain]) -> str:
    """Return data for a script element: no text in it can end the element."""
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")


def page_theme(name: str) -> Theme:
    """Return a theme with the plain one's page where it has none of its own."""
    theme = load_theme(name)
    plain = load_theme(_PLAIN).files
    own = {file: data for file, data in plain.items() if file.startswith(("page", "contents."))}
    return replace(theme, files={**own, **theme.files})


def _content(theme: Theme, kit: Kit, code: str, booklet: Booklet, numbers: Mapping[str, int]) -> PageLanguage:
    from markupsafe import Markup

    from kitforge.print.templates import fill_template

    with use_language(code):
        values = {field.name: getattr(booklet, field.name) for field in fields(booklet)}
        values |= {"numbers": numbers, "code": code, "sizes": sizes_beside(in_language(kit, code), code)}
        opening, body = (fill_template(theme, f"page/{part}.html", values) for part in ("opening", "content"))
        return PageLanguage(
            code=code,
            name=say_as(language(code).name),
            opening=Markup(opening),
            body=Markup(body),
            language_word=say("Language"),
            class_word=say("My machine"),
            all_word=say("All classes"),
            own_word=say("Computed for mine"),
        )


def sizes_beside(kit: Kit, code: str) -> tuple[SizeChoice, ...]:
    """Return the sizes in the same pack, none where it holds one; their pages open in the language `code`."""
    return tuple(
        SizeChoice(one.key, one.title, f"../{one.folder}/{NAME}#l-{code}", this=one.key == kit.family.chosen)
        for one in kit.family.together
    )


def _choices(booklets: Mapping[str, Booklet]) -> tuple[ClassChoice, ...]:
    """Return the classes that have settings in the tables, weakest first."""
    found: dict[int, list[tuple[str, str]]] = {}
    for code, booklet in booklets.items():
        told = {row.number: row.machine for step in booklet.steps for row in step.rows}
        for number, name in sorted(told.items()):
            found.setdefault(number, []).append((code, name))
    return tuple(ClassChoice(number, tuple(names)) for number, names in sorted(found.items()))


def _switches(contents: list[PageLanguage], choices: tuple[ClassChoice, ...]) -> tuple[str, ...]:
    """Return the rules by which the chosen language and class are shown alone; without them all are shown."""
    spoken = (f"body:has(#l-{one.code}:checked) .in:not(.{one.code}) {{ display: none; }}" for one in contents)
    shown = (f"body:has(#k{one.number}:checked) .row:not(.k{one.number}) {{ display: none; }}" for one in choices)
    own = f"body:has(#k{OWN}:checked) :is(.step, .sheet) .row:not(.k{OWN}) {{ display: none; }}"
    return (*spoken, *shown, own)


def _names(booklets: Mapping[str, Booklet]) -> Iterator[str]:
    """Yield the rules that name the columns of settings with their units in each language: once, not cell for cell."""
    for code, booklet in booklets.items():
        row = next((row for step in booklet.steps for row in step.rows), None)
        if row is None:
            continue
        with use_language(code):
            names = (
                (say("Speed"), say("rpm")),
                (say("Feed"), row.feed.unit.main),
                (say("Plunge"), row.plunge.unit.main),
                (say("Depth per pass"), row.depth.unit.main),
                (say("Stepover"), row.depth.unit.main),
                (say("Passes"), ""),
                (say("Time"), ""),
            )
        for place, name in enumerate(names, 1):
            yield f".in.{code} .c{place} {{ --name: {_quoted(' '.join(filter(None, name)))}; }}"


def _quoted(text: str) -> str:
    """Return a text as a string of a style sheet (CSS Syntax Module Level 3, 4.3.5): no sign in it can end one."""
    signs = (sign if sign not in '"\\<\n\r\f' else f"\\{ord(sign):x} " for sign in text)
    return f'"{"".join(signs)}"'
