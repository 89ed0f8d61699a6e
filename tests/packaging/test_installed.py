"""What people install: the wheel, the sources, the sdist; and what a plugin from elsewhere adds to it."""

from __future__ import annotations

import json
import pathlib
import re
import sys
import tarfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.metadata import entry_points

import pytest
from environments import Environment, Maker, run

pytestmark = pytest.mark.wheel
PLUGINS = sorted(point.name for point in entry_points(group="kitforge") if point.dist and point.dist.name == "kitforge")


def _content(wheel: pathlib.Path) -> dict[str, bytes]:
    with zipfile.ZipFile(wheel) as opened:
        return {name: opened.read(name) for name in opened.namelist()}


@contextmanager
def _without(environment: Environment, *names: str) -> Iterator[None]:
    """Take plugins out of the list of an installation, until the block ends."""
    listed = next(environment.site.glob("kitforge-*.dist-info")) / "entry_points.txt"
    whole = listed.read_text()
    listed.write_text(re.sub(rf"^({'|'.join(names)}) = .*\n", "", whole, flags=re.MULTILINE))
    try:
        yield
    finally:
        listed.write_text(whole)


@pytest.fixture(scope="module")
def pruned(make_environment: Maker, installed: Environment) -> Environment:
    """An environment from whose list of plugins the tests take some away."""
    return make_environment("pruned", installed)


@pytest.fixture(scope="module")
def with_weights(make_environment: Maker, installed: Environment, outside_plugin: pathlib.Path) -> Environment:
    """An environment with a plugin from elsewhere, which some of the tests break, each in its way, until they end."""
    environment = make_environment("weights", installed)
    environment.install(outside_plugin)
    return environment


@pytest.fixture(scope="module")
def starter(installed: Environment, tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    folder = tmp_path_factory.mktemp("starter") / "signs"
    assert installed.kitforge("new", str(folder)).returncode == 0
    return folder


def test_the_wheel_lists_the_same_plugins_as_the_sources(installed: Environment) -> None:
    from_sources = run(str(pathlib.Path(sys.executable).parent / "kitforge"), "plugins")
    from_wheel = installed.kitforge("plugins")
    assert from_wheel.stdout == from_sources.stdout
    assert (from_wheel.returncode, [name for name in PLUGINS if name not in from_wheel.stdout]) == (0, [])


def test_the_installed_command_runs_from_the_environment_alone(installed: Environment) -> None:
    code = "import kitforge, kitforge_manifest, kitforge_plain; print(kitforge.__file__, kitforge_manifest.__file__)"
    done = run(str(installed.python), "-c", code, cwd=installed.folder)
    assert done.stdout.count(str(installed.site)) == 2


def test_the_wheel_holds_every_module_and_data_file_and_nothing_else(
    wheel: pathlib.Path, sources: pathlib.Path
) -> None:
    """Compared with the tree itself: a data file that is forgotten shows here, and so does a stray one."""
    expected = set()
    for top in ("", "plugins", "templates"):
        for folder in (sources / top).glob("kitforge*"):
            files = (path for path in folder.rglob("*") if path.is_file() and "__pycache__" not in path.parts)
            expected |= {str(path.relative_to(sources / top)) for path in files if path.suffix != ".md"}
    assert {name for name in _content(wheel) if ".dist-info/" not in name} == expected


@pytest.mark.soak
def test_sources_installed_without_a_wheel_at_hand_work_alike(
    make_environment: Maker, installed: Environment, sources: pathlib.Path
) -> None:
    environment = make_environment("regular")
    environment.install(sources)
    assert environment.kitforge("plugins").stdout == installed.kitforge("plugins").stdout


def test_a_wheel_made_from_the_sdist_is_the_same(
    wheel: pathlib.Path, sdist: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    with tarfile.open(sdist) as opened:
        opened.extractall(tmp_path, filter="data")
    unpacked = next(path for path in tmp_path.iterdir() if path.is_dir())
    run(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(tmp_path), str(unpacked))
    assert _content(next(tmp_path.glob("*.whl"))) == _content(wheel)


def test_the_sdist_brings_tests_kits_and_the_makefile(sdist: pathlib.Path) -> None:
    with tarfile.open(sdist) as opened:
        names = {name.partition("/")[2] for name in opened.getnames()}
    wanted = {"Makefile", "README.md", "LICENSE", "kits/morris-board/kit.yaml", "tests/packaging/test_installed.py"}
    assert wanted - names == set()


def test_help_answers_without_loading_anything_heavy(installed: Environment) -> None:
    code = (
        "import sys; from kitforge.cli.main import main\n"
        "try: main(['--help'])\n"
        "except SystemExit: pass\n"
        "heavy = {'shapely', 'ezdxf', 'weasyprint', 'numpy', 'scipy', 'pydantic', 'rich', 'jinja2', 'fontTools'}\n"
        "print(sorted(heavy & {name.partition('.')[0] for name in sys.modules}), file=sys.stderr)"
    )
    assert run(str(installed.python), "-c", code, cwd=installed.folder).stderr == "[]\n"


def test_loading_all_plugins_loads_no_geometry_or_printing_library(installed: Environment) -> None:
    code = (
        "import sys; from kitforge.plugins import load_plugins; load_plugins()\n"
        "heavy = {'shapely', 'ezdxf', 'weasyprint', 'numpy', 'scipy', 'jinja2', 'fontTools'}\n"
        "print(sorted(heavy & {name.partition('.')[0] for name in sys.modules}))"
    )
    assert run(str(installed.python), "-c", code, cwd=installed.folder).stdout == "[]\n"


@pytest.mark.parametrize("typeset", [False, pytest.param(True, marks=pytest.mark.soak)])
def test_the_starter_kit_of_the_wheel_builds(
    installed: Environment, starter: pathlib.Path, tmp_path: pathlib.Path, typeset: bool
) -> None:
    """A document that is set in type is asked of the wheel every time where a plugin from elsewhere prints one."""
    done = installed.build(str(starter), "-o", str(tmp_path), typeset=typeset)
    assert (done.returncode, [path.name for path in tmp_path.iterdir()]) == (0, ["name-signs-0.1.0.zip"])


def _pruned_build(environment: Environment, starter: pathlib.Path, out: pathlib.Path) -> tuple[int, str, list[str]]:
    done = environment.build(str(starter), "-o", str(out), typeset=False)
    names = [name for made in out.glob("*.zip") for name in zipfile.ZipFile(made).namelist()]
    return done.returncode, done.stdout + done.stderr, [name.partition("/")[2] for name in names]


WITHOUT_EACH = """
import os, pathlib, re, sys
from kitforge.cli.main import main
listed, kit, names = pathlib.Path(sys.argv[1]), sys.argv[2], sys.argv[3:]
main(["check", kit])  # what takes long to load is loaded once, before there are children
whole = listed.read_text()
for name in names:
    print("\\n==", name, flush=True)
    listed.write_text(re.sub(rf"^{name} = .*\\n", "", whole, flags=re.MULTILINE))
    child = os.fork()
    if not child:
        main(["plugins"])
        print("--")
        code = main(["check", kit])
        sys.stdout.flush()
        os._exit(code)
    print("\\n-> ", os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), flush=True)
listed.write_text(whole)
"""
"""Takes each plugin in turn out of the list of an installation; a child lists what is left, and checks the kit."""


def test_without_its_entry_point_a_plugin_is_gone_and_every_other_one_loads(
    pruned: Environment, starter: pathlib.Path
) -> None:
    """The starter kit is then checked with the rest: a plain answer, never a traceback."""
    listed = next(pruned.site.glob("kitforge-*.dist-info")) / "entry_points.txt"
    done = run(str(pruned.python), "-c", WITHOUT_EACH, str(listed), str(starter), *PLUGINS, cwd=pruned.folder)
    said = {one.split()[0]: one for one in done.stdout.split("\n== ")[1:]}
    assert (sorted(said), "Traceback" in done.stderr) == (PLUGINS, False), done.stderr
    for name, words in said.items():
        shown = {line.split()[0] for line in words.partition("\n--\n")[0].splitlines()[1:] if line.strip()}
        assert set(PLUGINS) - shown == {name}
        assert re.search(r"^-> +[012]$", words, re.MULTILINE), words


@pytest.mark.parametrize(
    ("plugin", "gone"),
    [
        ("sheet", "settings.csv"),
        *(
            pytest.param(plugin, gone, marks=pytest.mark.soak)
            for plugin, gone in (
                ("booklet", "booklet-a4.pdf"),
                ("dxf", "drawings/sign.dxf"),
                ("manifest", "SHA256SUMS"),
                ("svg", "drawings/sign.svg"),
            )
        ),
    ],
)
def test_without_its_entry_point_a_plugins_files_are_missing_and_all_others_are_there(
    pruned: Environment, starter: pathlib.Path, tmp_path: pathlib.Path, plugin: str, gone: str
) -> None:
    """What takes most of the time of a build is left out as well, but where the sheet is asked about."""
    slow = ("booklet", "listing", *(("sheet",) if plugin != "manifest" else ()))
    with _without(pruned, plugin, *slow):
        code, said, names = _pruned_build(pruned, starter, tmp_path)
    assert (code, gone in names, "READ-ME-FIRST.txt" in names) == (0, False, True), said
    others = {"drawings/sign.dxf", "SHA256SUMS", "settings.csv", "drawings/sign.svg"} - {gone}
    assert others - set(names) == ({"settings.csv"} - {gone} if "sheet" in slow else set())


@pytest.mark.soak
def test_without_the_settings_plugin_everything_but_settings_is_packed(
    pruned: Environment, starter: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    with _without(pruned, "settings", "listing"):
        code, said, names = _pruned_build(pruned, starter, tmp_path)
        settings = pruned.kitforge("settings", str(starter), "--format", "csv").stdout
    assert (code in {0, 1}, "Traceback" in said) == (True, False), said
    if code == 0:
        assert {"booklet-a4.pdf", "drawings/sign.dxf", "SHA256SUMS"} - set(names) == set()
    assert settings.count("\n") == 1


def test_a_plugin_from_elsewhere_adds_a_check_and_a_document_until_it_is_removed(
    make_environment: Maker, with_weights: Environment, starter: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    environment = make_environment("outside", with_weights)
    assert re.search(
        r"weights +kitforge-weights 0\.2\.0 +kitforge_catalogues, kitforge_check, kitforge_cutting_rows,",
        environment.kitforge("plugins").stdout,
    )

    with _without(environment, "booklet", "listing", "sheet"):  # which take long, and are no matter of this plugin
        assert environment.build(str(starter), "-o", str(tmp_path)).returncode == 0
    with zipfile.ZipFile(tmp_path / "name-signs-0.1.0.zip") as pack:
        weights = pack.read("name-signs-0.1.0/weights.csv").decode()
        assert pack.read("name-signs-0.1.0/weights-a4.pdf").startswith(b"%PDF-")
        manifest = json.loads(pack.read("name-signs-0.1.0/manifest.json"))
    # 150 mm * 60 mm * 12 mm of black cherry, 560 kg/m3 in the Wood Handbook's order of magnitude
    kilograms = float(weights.splitlines()[1].split(",")[2])
    assert 0.050 < kilograms < 0.070
    assert "weights" in [plugin["name"] for plugin in manifest["plugins"]]

    heavy = tmp_path / "heavy"
    heavy.mkdir()
    text = (starter / "kit.yaml").read_text()
    text = text.replace("long: 150 mm", "long: 1500 mm").replace("tall: 60 mm", "tall: 600 mm")
    text = text.replace("    length: 360 mm", "    length: 3300 mm").replace("width: 90 mm", "width: 800 mm")
    (heavy / "kit.yaml").write_text(text.replace("actual: 12", "actual: 28"))
    saved = tmp_path / "findings.json"
    told = environment.kitforge("check", str(heavy), "--language", "de", "--save", f"json={saved}").stdout
    assert "part-heavy" in {one["code"] for one in json.loads(saved.read_text(encoding="utf-8"))["findings"]}
    assert "In einer Anmerkung sagen, dass zwei es heben sollen." in " ".join(told.split())

    environment.pip("uninstall", "--yes", "kitforge-weights")
    assert "weights" not in environment.kitforge("plugins").stdout


@contextmanager
def _written(file: pathlib.Path, text: str) -> Iterator[None]:
    whole = file.read_text()
    file.write_text(text)
    try:
        yield
    finally:
        file.write_text(whole)


def test_two_plugins_of_one_name_are_refused_naming_both_distributions(with_weights: Environment) -> None:
    listed = next(with_weights.site.glob("kitforge_weights-*.dist-info")) / "entry_points.txt"
    with _written(listed, "[kitforge]\nmanifest = kitforge_weights\n"):
        done = with_weights.kitforge("plugins")
    assert (done.returncode, "kitforge-weights" in done.stderr, "manifest" in done.stderr) == (2, True, True)


@pytest.mark.parametrize(
    ("source", "said"),
    [
        ("import no_such_library\n", "no_such_library"),
        ("raise RuntimeError('broken at import')\n", "broken at import"),
        ("from kitforge import hookimpl\n@hookimpl\ndef kitforge_chekc(kit, plan): ...\n", "kitforge_chekc"),
        ("from kitforge import hookimpl\n@hookimpl\ndef kitforge_check(kid): ...\n", "kid"),
    ],
)
def test_a_broken_plugin_is_named_in_plain_words(with_weights: Environment, source: str, said: str) -> None:
    with _written(with_weights.site / "kitforge_weights" / "__init__.py", source):
        done = with_weights.kitforge("plugins")
    assert (done.returncode, said in done.stderr, "Traceback" in done.stderr) == (2, True, False), done.stderr
