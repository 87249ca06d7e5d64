"""Drawings as DXF: sound for two readers, with the layers, blocks, units and nodes they are said to have."""

import io
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path

import ezdxf
import pytest
from ezdxf import recover
from ezdxf.document import Drawing as Document
from msgspec.structs import replace

from turnwright.documents import make as making
from turnwright.documents.brief import Brief
from turnwright.documents.drawing import phasors, signs, svg
from turnwright.documents.drawing.connection_of import connection_of
from turnwright.documents.drawing.shapes import LAYERS, Drawing, flat
from turnwright.documents.make import make
from turnwright.documents.papers.diagrams import diagrams
from turnwright.documents.writers.dxf import drawings_of, dxf_of, write
from turnwright.errors import MissingExtra

ISO_PAPER_MM = 0.25


def read(content: bytes) -> Document:
    document, auditor = recover.read(io.BytesIO(content))
    assert not auditor.errors and not auditor.fixes
    assert not document.audit().errors
    return document


@pytest.fixture(params=["gatehouse", "pump_house"])
def picked(request: pytest.FixtureRequest) -> Brief:
    found: Brief = request.getfixturevalue(request.param)
    return found


def files_of(brief: Brief) -> dict[str, bytes]:
    return write(diagrams(brief), brief, "diagrams")


def texts_of(document: Document) -> set[str]:
    return {one.dxf.text for one in document.query("TEXT")}


def test_two_files_for_each_unit_both_sound(picked: Brief) -> None:
    files = files_of(picked)
    assert {"diagrams-t1-one-line.dxf", "diagrams-t1-windings.dxf"} <= {*files}
    for content in files.values():
        document = read(content)
        assert {*LAYERS, "TITLE"} <= {layer.dxf.name for layer in document.layers}
        assert {"LETTERING", "LETTERING_BOLD"} <= {style.dxf.name for style in document.styles}
        used = {entity.dxf.layer for entity in document.modelspace()}
        assert used <= {*LAYERS, "TITLE"} and used & {"CONDUCTORS", "TEXT"}


def test_nodes_and_windings_read_back_are_those_that_are_solved(picked: Brief) -> None:
    pick = picked.result.pick
    assert pick is not None
    joined = connection_of(pick, picked.regime)
    assert joined is not None
    document = read(files_of(picked)["diagrams-t1-windings.dxf"])
    blocks = document.query("INSERT")
    nodes = {one.get_attrib_text("NODE") for one in blocks if one.dxf.name in ("TERMINAL", "JOINT")}
    assert nodes == {*phasors.potentials(joined, 480.0)}
    windings = sorted(
        tuple(one.get_attrib_text(tag) for tag in ("CORE", "DOT", "OTHER", "VOLTS"))
        for one in blocks
        if one.dxf.name == "WINDING"
    )
    assert windings == sorted(
        (place.core, place.dot, place.other, f"{place.rated_v:.9g}") for place in joined.connection.places
    )


def test_what_is_written_is_what_the_picture_says(picked: Brief) -> None:
    files = files_of(picked)
    for mark, kind, _, drawing in drawings_of(picked):
        picture = ET.fromstring(svg.written(drawing))
        said = {(one.text or "").strip() for one in picture.iter() if one.tag.endswith("text")} - {""}
        document = read(files[f"diagrams-{mark.lower()}-{kind}.dxf"])
        inside = {one.dxf.text for block in document.blocks for one in block.query("TEXT")}
        assert said <= texts_of(document) | inside


@pytest.mark.parametrize(("measure", "code", "size"), [("us", 1, 25.4), ("metric", 4, 1.0)])
def test_units_are_those_of_the_measure(gatehouse: Brief, measure: str, code: int, size: float) -> None:
    brief = replace(gatehouse, measure=measure)
    document = read(files_of(brief)["diagrams-t1-windings.dxf"])
    assert document.header["$INSUNITS"] == code
    drawing = next(one for _, kind, _, one in drawings_of(brief) if kind == "windings")
    assert document.header["$EXTMAX"][0] * size == pytest.approx(drawing.width * ISO_PAPER_MM)
    rings = [one.dxf.insert for one in document.query("INSERT[name=='TERMINAL']")]
    drawn = [shape for shape in flat(drawing.shapes) if getattr(shape, "layer", "") == "TERMINALS"]
    assert [at.x * size for at in rings] == pytest.approx(
        [shape.x * ISO_PAPER_MM for shape in drawn], abs=1e-3
    )


@pytest.mark.parametrize(("regime", "word"), [("us", "IEEE_315"), ("ca", "IEEE_315"), ("iec", "IEC_60617")])
@pytest.mark.parametrize("kind", ["breaker", "fuse"])
def test_signs_are_those_of_the_regime(
    made_by_hand: Callable[..., Brief], regime: str, word: str, kind: str
) -> None:
    brief = made_by_hand()
    blocks = brief.result.blocks
    assert blocks is not None
    job = {**brief.result.job, "regime": regime}
    result = replace(
        brief.result, job=job, blocks=replace(blocks, protection=replace(blocks.protection, kind=kind))
    )
    names = {
        block.name
        for block in read(files_of(replace(brief, result=result))["diagrams-t1-one-line.dxf"]).blocks
    }
    assert {f"{kind.upper()}_{word}", f"TRANSFORMER_DELTA_WYE_{word}"} <= names


def test_an_arc_bulges_to_the_same_side_in_both() -> None:
    # the sign of a breaker over its gap: to the right of the line, in a picture with y downwards and in one with y up
    sign = signs.device(False, False, 10.0, 20.0)
    arc = next(shape for shape in flat([sign]) if type(shape).__name__ == "Arc")
    brief_free = Drawing(40.0, 40.0, (sign,), "a sign")
    assert "A10.5 10.5 0 0 1" in svg.written(brief_free)
    document = ezdxf.new("R2010")
    from turnwright.documents.writers.dxf import _Page, _tables

    _tables(document, 1.0)
    _Page(document, 1.0).put(document.modelspace(), sign, 40.0)
    block = next(one for one in document.blocks if one.name.startswith("BREAKER"))
    drawn = block.query("ARC").first
    assert drawn is not None
    assert drawn.start_point.x == pytest.approx(drawn.end_point.x)
    assert drawn.dxf.center.x + drawn.dxf.radius == pytest.approx(arc.x - 10.0 + arc.r)
    assert drawn.start_point.y < drawn.dxf.center.y < drawn.end_point.y


def test_the_same_job_gives_the_same_bytes(gatehouse: Brief) -> None:
    assert files_of(gatehouse) == files_of(gatehouse)
    dated = replace(gatehouse, date="2027-05-01")
    content = files_of(dated)["diagrams-t1-one-line.dxf"]
    assert (
        content
        == files_of(dated)["diagrams-t1-one-line.dxf"]
        != files_of(gatehouse)["diagrams-t1-one-line.dxf"]
    )
    assert "Date 2027-05-01" in texts_of(read(content))


@pytest.mark.parametrize("title", ["50 %%d\n0\nEOF\n", "変電所 Ω ≤ “x”", "\x00\x1b", "\ud800", "a" * 3000])
def test_titles_that_would_break_a_file_do_not(gatehouse: Brief, title: str) -> None:
    result = replace(gatehouse.result, job={**gatehouse.result.job, "title": title})
    for content in files_of(replace(gatehouse, result=result)).values():
        read(content)


def test_as_dxf_by_name_and_without_its_part(gatehouse: Brief, monkeypatch: pytest.MonkeyPatch) -> None:
    made = make(gatehouse, ("diagrams",), ("dxf",))
    assert {sheet.form for sheet in made.sheets} == {"dxf"} and len(made.sheets) == 2
    monkeypatch.setattr(making, "find_spec", lambda name: None)
    monkeypatch.setitem(sys.modules, "ezdxf", None)
    with pytest.raises(MissingExtra, match=r"turnwright\[drawings\]"):
        make(gatehouse, ("diagrams",), ("dxf",))
    assert "diagrams.dxf" in {left.name for left in make(gatehouse, ("diagrams",)).left_out}


@pytest.mark.system
@pytest.mark.skipif(shutil.which("librecad") is None, reason="librecad is not installed")
def test_another_program_reads_and_prints_it(gatehouse: Brief, tmp_path: Path) -> None:
    from pypdf import PdfReader

    for name, content in files_of(replace(gatehouse, measure="metric")).items():
        (tmp_path / name).write_bytes(content)
        printed = tmp_path / name.replace(".dxf", ".pdf")
        words = ["librecad", "dxf2pdf", "-a", "-o", printed.name, name]
        room = {"QT_QPA_PLATFORM": "offscreen", "HOME": str(tmp_path), "PATH": "/usr/bin:/bin"}
        ran = subprocess.run(
            words, capture_output=True, text=True, timeout=120, env=room, cwd=tmp_path, check=False
        )
        assert "DONE" in ran.stdout + ran.stderr
        page = PdfReader(printed).pages[0]
        assert len(page.get_contents().get_data()) > 5000  # type: ignore[union-attr]


def test_every_sheet_of_the_report_is_written_the_same_way(gatehouse: Brief) -> None:
    drawing = next(one for *_, one in drawings_of(gatehouse))
    assert b"SECTION" in dxf_of(drawing, "T1", diagrams(gatehouse), gatehouse)
