"""Environments of their own for the built packages; the libraries that are installed already are linked in."""

from __future__ import annotations

import pathlib
import shutil
import sys
import sysconfig
import venv

import pytest
from environments import ROOT, Environment, Maker, run


@pytest.fixture(scope="session")
def libraries(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """Links to everything that is installed, without kitforge itself and its links into the sources."""
    folder = tmp_path_factory.mktemp("libraries")
    for entry in pathlib.Path(sysconfig.get_path("purelib")).iterdir():
        if not entry.name.lower().lstrip("_").startswith("kitforge") and entry.suffix != ".pth":
            (folder / entry.name).symlink_to(entry)
    return folder


@pytest.fixture(scope="session")
def make_environment(tmp_path_factory: pytest.TempPathFactory, libraries: pathlib.Path) -> Maker:
    def make(name: str, like: Environment | None = None) -> Environment:
        """Make an environment that is empty, or has what another one has, copied."""
        folder = tmp_path_factory.mktemp(name) / "env"
        venv.create(folder, with_pip=False, symlinks=True)
        environment = Environment(folder)
        (environment.site / "libraries.pth").write_text(f"{libraries}\n")
        if like is not None:
            shutil.copytree(like.site, environment.site, dirs_exist_ok=True)
            command = (like.folder / "bin" / "kitforge").read_text()
            assert command.count(str(like.folder)) == 1
            (folder / "bin" / "kitforge").write_text(command.replace(str(like.folder), str(folder)))
            (folder / "bin" / "kitforge").chmod(0o755)
        return environment

    return make


@pytest.fixture(scope="session")
def sources(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """A copy of the project as a clone would give it, so that all packages are made from the same state."""
    folder = tmp_path_factory.mktemp("sources") / "kitforge"
    ignored = shutil.ignore_patterns(
        ".git", ".venv", "dist", "build", "__pycache__", ".*_cache", ".hypothesis", ".*.part"
    )
    return pathlib.Path(shutil.copytree(ROOT, folder, ignore=ignored))


@pytest.fixture(scope="session")
def wheel(tmp_path_factory: pytest.TempPathFactory, sources: pathlib.Path) -> pathlib.Path:
    """The wheel, built from the sources."""
    out = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(out), str(sources))
    return next(out.glob("*.whl"))


@pytest.fixture(scope="session")
def sdist(tmp_path_factory: pytest.TempPathFactory, sources: pathlib.Path) -> pathlib.Path:
    """The archive of the sources, built from them."""
    out = tmp_path_factory.mktemp("sdist")
    run(sys.executable, "-m", "build", "--sdist", "--no-isolation", "--outdir", str(out), str(sources))
    return next(out.glob("*.tar.gz"))


@pytest.fixture(scope="session")
def installed(make_environment: Maker, wheel: pathlib.Path) -> Environment:
    """An environment with the wheel. Tests that change it make one like it."""
    environment = make_environment("installed")
    environment.install(wheel)
    return environment


@pytest.fixture(scope="session")
def outside_plugin(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """The example plugin's wheel, built from a copy."""
    folder = tmp_path_factory.mktemp("outside")
    sources = shutil.copytree(ROOT / "tests" / "outside_plugin", folder / "sources")
    run(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(folder), str(sources))
    return next(folder.glob("*.whl"))
