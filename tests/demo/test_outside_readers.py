"""The pack's files as independent programs read them: GDAL/OGR, a web browser, qpdf and the Poppler tools."""

from __future__ import annotations

import os
import pathlib
import re
import shutil
import subprocess
from collections.abc import Iterator
from typing import Any

import pikepdf
import pyogrio
import pyogrio.raw
import pytest
import shapely
from demo_kits import DEMOS, Demo, demo

from kitforge.drawings.write import layer_names
from kitforge.planning.layers import drawings_by_folder

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
QUIET = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync",
    "--disable-background-networking", "--disable-component-update",
)  # fmt: skip


def test_gdal_finds_the_same_extents_layers_and_closed_rings(made: Demo, folder: pathlib.Path) -> None:
    """GDAL/OGR's own DXF reader, through pyogrio, against the shapes that were meant to be written."""
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": "0.25"})  # it draws arcs in steps of 4 degrees otherwise
    for where, drawing in drawings_by_folder(made.checked.plan, made.checked.kit.parts):
        meta, _fids, wkb, fields = pyogrio.raw.read(folder / where / f"{drawing.name}.dxf")
        shapes = shapely.from_wkb(wkb)
        layers = fields[list(meta["fields"]).index("Layer")]
        plain = layer_names(drawing.layers)
        for name, paths in drawing.layers.items():
            found = [shape for shape, layer in zip(shapes, layers, strict=True) if layer == plain[name]]
            assert len(paths) == len(found)
            assert sum(path.closed for path in paths) == sum(shape.is_closed for shape in found)
            left, bottom, right, top = shapely.total_bounds(found)
            boxes = [path.bounds for path in paths]
            assert min(box.left for box in boxes) == pytest.approx(left, abs=0.02)
            assert min(box.bottom for box in boxes) == pytest.approx(bottom, abs=0.02)
            assert max(box.right for box in boxes) == pytest.approx(right, abs=0.02)
            assert max(box.top for box in boxes) == pytest.approx(top, abs=0.02)


def _drawings_of_all(folder: pathlib.Path) -> Iterator[pathlib.Path]:
    """Write the SVG drawings of every demo kit; a browser that is started for each would take most of the time."""
    for name in DEMOS:
        for file, data in demo(name).files.items():
            if file.endswith(".svg"):
                path = folder / f"{name}-{pathlib.Path(file).name}"
                path.write_bytes(data)
                yield path


@pytest.mark.skipif(BROWSER is None and "CI" not in os.environ, reason="no browser on this machine")
def test_a_browser_shows_the_svg_in_true_size(tmp_path: pathlib.Path) -> None:
    """A browser measures every drawing at 96 px per inch (CSS Values 3): its size in mm is the drawing's."""
    assert BROWSER is not None, "the browser is missing; 'make test' installs it when run as root"
    drawings = list(_drawings_of_all(tmp_path))
    written = [re.search(r'width="([\d.]+)mm" height="([\d.]+)mm"', svg.read_text()) for svg in drawings]
    measure = "i => { b = i.getBoundingClientRect(); return b.width + ' ' + b.height }"
    script = f"document.title = [...document.images].map({measure}).join(' ')"
    page = tmp_path / "page.html"
    images = "".join(f'<p><img src="{svg}"></p>' for svg in drawings)
    page.write_text(f"<body style='margin:0' onload=\"{script}\">{images}")
    command = [BROWSER, *QUIET, f"--user-data-dir={tmp_path / 'profile'}", "--dump-dom", page.as_uri()]
    shown = subprocess.run(command, capture_output=True, text=True, check=True, timeout=120).stdout
    seen = re.search(r"<title>([\d. ]+)</title>", shown)
    assert seen is not None, shown
    sizes = [float(size) for found in written if found is not None for size in found.groups()]
    assert len(sizes) == 2 * len(drawings)
    assert sizes == pytest.approx([float(pixels) * 25.4 / 96 for pixels in seen[1].split()], abs=0.05)


def test_qpdf_finds_no_fault_and_every_font_is_embedded(folder: pathlib.Path) -> None:
    names = sorted(path.name for path in folder.glob("*.pdf"))
    assert {name.rpartition("-")[0] for name in names} >= {"booklet", "settings"}
    for name in names:
        with pikepdf.open(folder / name) as pdf:
            assert pdf.check_pdf_syntax() == []
            fonts = [font for page in pdf.pages for font in _fonts(page)]
            assert fonts
            for font in fonts:
                descriptor = (
                    font.DescendantFonts[0].FontDescriptor if "/DescendantFonts" in font else font.FontDescriptor
                )
                assert any(key in descriptor for key in ("/FontFile", "/FontFile2", "/FontFile3"))
                assert "SourceSansPro" in str(descriptor.FontName).replace("-", "").replace("_", "")


def _fonts(page: pikepdf.Page) -> list[pikepdf.Object]:
    resources: Any = page.obj.get("/Resources", {})
    fonts = resources.get("/Font", {})
    return [fonts[key] for key in fonts.keys()]  # noqa: SIM118 - a PDF dictionary iterates over its values


def test_the_demo_kits_have_no_warnings(made: Demo) -> None:
    serious = [finding.as_line() for finding in made.checked.findings if finding.severity != "note"]
    assert serious == []
