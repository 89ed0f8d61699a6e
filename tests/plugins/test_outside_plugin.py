"""The example of plugins/README.md speaks German and prints in the theme of the build."""

from __future__ import annotations

import importlib.util
import io
import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pluggy
import pypdf
import pytest

from kitforge import hooks
from kitforge.language import language, use_catalogues
from kitforge.model.findings import in_words
from kitforge.model.pack import BuildOptions
from kitforge.pipeline import check_kit
from kitforge.plugins import LoadedPlugin, Plugins, load_plugins
from kitforge.testing import SmallKit

SOURCE = Path(__file__).parents[1] / "outside_plugin" / "kitforge_weights" / "__init__.py"


@pytest.fixture
def weights(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """The example's module, as if it were installed."""
    spec = importlib.util.spec_from_file_location("kitforge_weights", SOURCE)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    monkeypatch.setitem(sys.modules, "kitforge_weights", module)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def plugins(weights: ModuleType) -> Iterator[Plugins]:
    """The shipped plugins and the example."""
    shipped = load_plugins()
    manager = pluggy.PluginManager("kitforge")
    manager.add_hookspecs(hooks)
    manager.register(weights, name="weights")
    for plugin in reversed(shipped.loaded):
        manager.register(sys.modules[f"kitforge_{plugin.name}"], name=plugin.name)
    loaded = Plugins(manager, [*shipped.loaded, LoadedPlugin("weights", "kitforge-weights", "0.2.0", ())])
    use_catalogues(loaded.catalogues())
    yield loaded
    use_catalogues({})


def test_findings_are_told_in_german(plugins: Plugins, tmp_path: Path) -> None:
    checked = check_kit(SmallKit(tmp_path).plugin("weights", limit_kg=0.01).folder, plugins)
    heavy = next(one for one in checked.findings if one.code == "part-heavy")
    told = in_words([heavy], language("de").wording())[0]
    assert str(told.advice) == "In einer Anmerkung sagen, dass zwei es heben sollen."
    assert str(told.message).endswith("die Grenze ist 0.01 kg.")


def test_its_document_is_set_in_both_languages(plugins: Plugins, weights: ModuleType, tmp_path: Path) -> None:
    checked = check_kit(SmallKit(tmp_path).folder, plugins)
    options = BuildOptions(papers=("a4",), languages=("en", "de"))
    files = {one.name: one for one in weights.kitforge_render(checked.kit, checked.plan, checked.findings, options)}
    assert sorted(files) == ["weights-a4.pdf", "weights-de-a4.pdf", "weights.csv"]
    german = pypdf.PdfReader(io.BytesIO(files["weights-de-a4.pdf"].data))
    assert "Was jedes Teil wiegt" in german.pages[0].extract_text()
    assert "g je Stück" in german.pages[0].extract_text()
    assert files["weights-de-a4.pdf"].language == "de"
