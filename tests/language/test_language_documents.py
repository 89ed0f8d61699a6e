"""Documents in two languages from one build: names, language tags, headings, decimal signs, and no English left."""

from __future__ import annotations

import io
import re
from dataclasses import fields, is_dataclass
from enum import Enum

import pikepdf
import pytest

from kitforge.language import use_language
from kitforge.model.errors import KitforgeError
from kitforge.model.kit import Kit
from kitforge.model.pack import BuildOptions, PackFile
from kitforge.model.plan import Plan
from kitforge.pack.readme import read_me_first
from kitforge.pipeline import CheckedKit
from kitforge.print import parallel
from kitforge.print.render import Imprint, lay_out
from kitforge.print.svg import Picture
from kitforge.print.templates import fill_template
from kitforge.print.themes import Theme, load_theme
from kitforge.print.typesetter import render_pdf
from kitforge.stages.rendering import render
from kitforge.testing import SmallKit
from kitforge_booklet import kitforge_render as render_booklet
from kitforge_booklet.build import booklet
from kitforge_sheet import kitforge_render as render_sheet
from kitforge_sheet.sheet import settings_sheet

BOTH = BuildOptions(papers=("a4",), languages=("en", "de"))
HEADINGS = (
    "Passt es auf meine Maschine?",
    "Sicherheit",
    "Was Sie brauchen",
    "Fräsen, Schritt für Schritt",
    "Zeichnungen",
)


@pytest.fixture(scope="module")
def signs(tmp_path_factory: pytest.TempPathFactory) -> CheckedKit:
    """A kit whose documents are short."""
    return SmallKit(tmp_path_factory.mktemp("signs")).check()


@pytest.fixture(scope="module")
def files(signs: CheckedKit) -> dict[str, PackFile]:
    """Both documents in both languages, made by one call of each plugin; the English booklet is left unset.

    Setting it takes as long as all the rest, and every other test of booklets looks at one in English.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(parallel, "render_pdf", lambda job: b"" if 'lang="en"' in job.html else render_pdf(job))
        made = [*render_booklet(signs.kit, signs.plan, BOTH)]
    made += render_sheet(signs.kit, signs.plan, BOTH)
    return {file.name: file for file in made}


@pytest.fixture(scope="module")
def texts(kit: Kit, plan: Plan) -> dict[str, list[str]]:
    """Every text of booklet and sheet, by language."""
    found = {}
    for code in ("en", "de"):
        with use_language(code):
            found[code] = _texts([booklet(kit, plan, BuildOptions()), settings_sheet(kit, plan, BuildOptions())])
    return found


def _opened(file: PackFile) -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(file.data))


def _texts(value: object) -> list[str]:
    """Every text of a document's data, words of its pictures included."""
    if isinstance(value, Enum):
        return []
    if isinstance(value, str):
        return [value]
    if isinstance(value, Picture):
        return [value.alt, *re.findall(r"<text[^>]*>([^<]*)</text>", value.svg)]
    if is_dataclass(value) and not isinstance(value, type):
        return [text for field in fields(value) for text in _texts(getattr(value, field.name))]
    if isinstance(value, tuple | list):
        return [text for item in value for text in _texts(item)]
    return []


def test_both_languages_come_from_one_call(files: dict[str, PackFile]) -> None:
    assert sorted(files) == [
        "booklet-a4.pdf",
        "booklet-de-a4.pdf",
        "settings-a4.pdf",
        "settings-de-a4.pdf",
        "settings.csv",
        "start.html",
    ]
    assert {file.language for file in files.values()} == {"", "en", "de"}


@pytest.mark.parametrize(
    ("name", "code"),
    [("booklet-de-a4.pdf", "de"), ("settings-a4.pdf", "en"), ("settings-de-a4.pdf", "de")],
)
def test_a_pdf_says_its_language(files: dict[str, PackFile], name: str, code: str) -> None:
    """ISO 14289-1 (PDF/UA-1), 7.2: the natural language of a document is named in its catalogue."""
    with _opened(files[name]) as pdf:
        assert str(pdf.Root.Lang) == code


def test_bookmarks_are_the_headings_of_the_language(files: dict[str, PackFile]) -> None:
    with _opened(files["booklet-de-a4.pdf"]) as pdf, pdf.open_outline() as outline:
        found: list[str] = []

        def gather(items: list[pikepdf.OutlineItem]) -> None:
            for item in items:
                found.append(item.title)
                gather(item.children)

        gather(outline.root)
    assert [heading for heading in HEADINGS if heading not in found] == []


def test_the_subject_of_a_pdf_is_in_its_language(files: dict[str, PackFile]) -> None:
    with _opened(files["booklet-de-a4.pdf"]) as pdf:
        assert str(pdf.docinfo["/Subject"]).split(",")[0] == "Anleitung"


def test_english_does_not_depend_on_what_else_is_built(files: dict[str, PackFile], signs: CheckedKit) -> None:
    alone = {file.name: file.data for file in render_sheet(signs.kit, signs.plan, BuildOptions(papers=("a4",)))}
    assert {name: files[name].data for name in alone} == alone


def test_german_figures_have_a_comma(texts: dict[str, list[str]], kit: Kit, plan: Plan) -> None:
    """No figure with a decimal point is left; versions, file names and sources are no figures."""
    pointed = re.compile(r"\d\.\d+ ?(mm|in|N|min|m²|ml|fl|sq)\b")
    suspects = [text for text in texts["de"] if pointed.search(text)]
    assert [text for text in suspects if pointed.search(_without_authored(text, kit, plan))] == []
    assert any(re.search(r"\d,\d+ mm", text) for text in texts["de"])


def test_english_figures_have_a_point(texts: dict[str, list[str]]) -> None:
    assert [text for text in texts["en"] if re.search(r"\d,\d+ mm", text)] == []


ENGLISH = re.compile(
    r"\b(the|and|with|from|your|each|until|cutter|depth|feed|stock|tabs?|before|which)\b", re.IGNORECASE
)


def _without_authored(text: str, kit: Kit, plan: Plan) -> str:
    """Take out what is printed as written: the author's words, this plan's own, and the names of published sources."""
    own = [*_texts(kit), *(str(line) for machine in plan.machines for line in machine.misfits)]
    lines = {" ".join(line.split()).strip(" .").lower() for words in own for line in (words, *words.split("\n\n"))}
    for words in sorted(lines, key=len, reverse=True):
        if len(words) > 3:
            text = re.sub(re.escape(words), "", text, flags=re.IGNORECASE)
    return re.sub(r"“[^”]*”|.*(IARC|HSE|NFPA|CFR|Handbook).*", "", text)


def test_no_english_is_left_in_german_documents(texts: dict[str, list[str]], kit: Kit, plan: Plan) -> None:
    """Everything but the author's own words and the names of sources is said in German."""
    suspects = [text for text in dict.fromkeys(texts["de"]) if ENGLISH.search(text)]
    assert [text for text in suspects if ENGLISH.search(_without_authored(text, kit, plan))] == []


def test_german_pages_hold_what_english_ones_hold(kit: Kit, plan: Plan) -> None:
    """German runs longer; every step still fills one page, and the settings of a class stay on one sheet."""
    pages = {}
    for code in ("en", "de"):
        with use_language(code):
            imprint = Imprint(kit.info.title, kit.info.author, "", kit.info.released, code)
            sheet = settings_sheet(kit, plan, BuildOptions())
            document = lay_out(load_theme(), "settings.html", sheet, "a4", imprint)
        pages[code] = len(document.pages)
    assert pages["de"] == pages["en"] == len(sheet.pages)


def test_a_language_without_a_catalogue_is_refused(kit: Kit, plan: Plan) -> None:
    with pytest.raises(KitforgeError, match="There is no language 'eo'"):
        list(render_booklet(kit, plan, BuildOptions(languages=("eo",))))


def test_the_read_me_is_german_too(kit: Kit, plan: Plan, files: dict[str, PackFile]) -> None:
    with use_language("de"):
        made = read_me_first(kit, plan, list(files.values()))
    text = made.data.decode("utf-8-sig").replace("\r\n", "\n")
    words = " ".join(text.split())
    assert (made.name, made.language) == ("LIES-MICH-ZUERST.txt", "de")
    assert "booklet-de-a4.pdf ganz lesen" in words
    assert "Was zuerst zu tun ist\n---------------------\n" in text
    assert "certutil -hashfile LIES-MICH-ZUERST.txt SHA256" in words
    assert "(auf Englisch)" in words


def test_the_english_read_me_sends_to_the_english_booklet(kit: Kit, plan: Plan, files: dict[str, PackFile]) -> None:
    made = read_me_first(kit, plan, list(files.values()))
    words = " ".join(made.data.decode("utf-8-sig").split())
    assert made.name == "READ-ME-FIRST.txt"
    assert "Read booklet-a4.pdf from front to back" in words
    assert "last coat (in German)." in words


def test_the_render_stage_writes_a_read_me_in_each_language(kit: Kit, plan: Plan) -> None:
    class Nothing:
        """Plugins that render and seal nothing."""

        def render(self, *_: object) -> list[PackFile]:
            return []

        def seal(self, *_: object) -> list[PackFile]:
            return []

    made = render(kit, plan, (), BOTH, Nothing())  # type: ignore[arg-type]
    assert [file.name for file in made] == ["LICENSE.txt", "LIES-MICH-ZUERST.txt", "READ-ME-FIRST.txt"]


def _filled(template: str, **values: object) -> str:
    theme = Theme("words", {"page.html": template.encode()})
    with use_language("de"):
        return fill_template(theme, "page.html", values)


def test_templates_say_words_in_the_language() -> None:
    template = '{{ _("Safety") }}: {{ ngettext("%(num)s pass", "%(num)s passes", 3) }}'
    assert _filled(template) == "Sicherheit: 3 Durchgänge"


def test_values_in_a_message_of_a_template_are_escaped() -> None:
    assert _filled('{{ _("Source %(number)s", number=x) }}', x="<b>&") == "Quelle &lt;b&gt;&amp;"


def test_a_template_cannot_reach_into_values_through_a_message() -> None:
    """Places of a template's messages are names, never attributes: '{x.__class__}' is printed as it stands."""
    assert _filled('{{ _("{x.__class__} {x}", x=1) }}') == "{x.__class__} {x}"
