"""Plots: values where their axes say, labels where their curves end, time over current as the standards have it."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from itertools import pairwise
from math import log10, sqrt
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from turnwright.cli.main import main
from turnwright.documents.brief import Brief, Stock
from turnwright.documents.drawing import plot
from turnwright.documents.drawing.series import figures_of, sheet_of
from turnwright.documents.drawing.shapes import Circle, Line, Polyline, Words
from turnwright.documents.papers.diagrams import diagrams
from turnwright.documents.papers.plots import plots
from turnwright.documents.report import Figure
from turnwright.errors import InputError
from turnwright.examine.records import Series

from .conftest import brief_of

LINEAR = plot.Axis(0.0, 10.0, "load", "kVA")
TIME = plot.Axis(0.01, 100.0, "time", "s", log=True)


def figure_under(brief: Brief, heading: str) -> Figure:
    section = next(one for one in plots(brief).sections if heading in one.title)
    return next(part for part in section.parts if isinstance(part, Figure))


def words_of(figure: Figure) -> set[str]:
    return {(one.text or "") for one in ET.fromstring(figure.svg).iter() if one.tag.endswith("text")}


def test_points_lie_where_the_axes_say() -> None:
    drawn = plot.drawing(
        plot.Plot(LINEAR, TIME, (plot.Curve(((0.0, 0.01), (5.0, 1.0), (10.0, 100.0)), "c"),)), "t"
    )
    curve = next(shape for shape in drawn.shapes if isinstance(shape, Polyline))
    (x1, y1), (x2, y2), (x3, y3) = curve.points
    assert (x1, x3) == (plot.LEFT, plot.RIGHT) and x2 == pytest.approx((x1 + x3) / 2)
    assert y1 - y3 == pytest.approx(plot.LOG_HEIGHT) and y2 == pytest.approx((y1 + y3) / 2)


def test_what_lies_outside_is_cut_at_the_frame() -> None:
    curve = plot.Curve(((-10.0, 50.0), (20.0, 50.0), (20.0, 0.02), (5.0, 0.02)), "c")
    drawn = plot.drawing(plot.Plot(LINEAR, TIME, (curve,)), "t")
    pieces = [shape for shape in drawn.shapes if isinstance(shape, Polyline)]
    assert len(pieces) == 2
    for x, _ in (point for piece in pieces for point in piece.points):
        assert plot.LEFT - 1e-9 <= x <= plot.RIGHT + 1e-9


def test_labels_do_not_cover_each_other() -> None:
    curves = [plot.Curve(((0.0, 1.0), (10.0, 1.0 + k / 1000)), f"curve {k}") for k in range(8)]
    drawn = plot.drawing(plot.Plot(LINEAR, TIME, curves), "t")
    rows = sorted(
        shape.y for shape in drawn.shapes if isinstance(shape, Words) and shape.text.startswith("curve")
    )
    assert len(rows) == 8 and all(b - a >= plot.ROW - 1e-9 for a, b in pairwise(rows))


@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6))
def test_an_axis_holds_its_values_and_has_a_few_round_ticks(low: float, span: float) -> None:
    axis = plot.around([low, low + span], "x", "A", zero=False)
    assert axis.low <= low + 1e-6 * span and axis.high >= low + span - 1e-6 * span
    assert 3 <= len([label for _, label in plot.ticks(axis) if label]) <= 14


def test_a_mark_and_a_limit_stand_at_their_value() -> None:
    x = plot.Axis(10.0, 1000.0, "current", "A", log=True)
    drawn = plot.drawing(
        plot.Plot(x, TIME, limits=[plot.Limit(100.0, "a limit")], marks=[plot.Mark(100.0, 1.0, "a point")]),
        "t",
    )
    middle = (plot.LEFT + plot.RIGHT) / 2
    assert any(isinstance(shape, Circle) and shape.x == pytest.approx(middle) for shape in drawn.shapes)
    assert any(
        isinstance(shape, Line) and shape.x1 == shape.x2 == pytest.approx(middle) and shape.dash
        for shape in drawn.shapes
    )


def test_time_over_current_has_the_points_of_the_standards(gatehouse: Brief) -> None:
    """8 and 12 times at 0.1 s, 25 times at 0.01 s; 450.3(B): 250 %; withstand of category I; 58 % for delta-wye."""
    figure = figure_under(gatehouse, "time over current")
    said = figure.alt
    for text in (
        "rated current 90.2 A",
        "225 A (249 % of rated, 450.3(B))",
        "breaker 110 A",
        "inrush 12 ×",
        "8 ×",
        "inrush 25 ×",
    ):
        assert text in said
    assert "category I (IEEE C57.12.59)" in said and "(58 %)" in said
    assert "usual instantaneous trip, 5-10 × (common practice)" in said
    assert "points given" not in said
    assert "time, s" in words_of(figure) and "current on the supply side, 480 V, A" in words_of(figure)


def test_marks_of_the_inrush_are_drawn_at_8_12_and_25_times_rated(gatehouse: Brief) -> None:
    figure = figure_under(gatehouse, "time over current")
    rings = [
        (float(x), float(y))
        for x, y in re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="3" fill="#fff"', figure.svg)
    ]
    assert len(rings) == 3
    (x8, y8), (x12, y12), (x25, y25) = sorted(rings)
    assert y8 == y12 < y25  # 0.1 s stands above 0.01 s
    # on a logarithmic axis ratios are distances
    assert (x25 - x12) / (x12 - x8) == pytest.approx(log10(25 / 12) / log10(12 / 8), abs=0.01)


def test_a_device_is_drawn_only_from_points_that_were_given(gatehouse: Brief) -> None:
    given_ = replace(gatehouse, hold_off=((3000.0, 0.02), (500.0, 10.0)))
    assert "the points given" in figure_under(given_, "time over current").alt


def test_regulation_at_full_load_is_that_of_the_impedance(gatehouse: Brief) -> None:
    figure = figure_under(gatehouse, "Regulation")
    assert "power factor 0.8, lagging" in figure.alt and "this load" in figure.alt
    assert "fall of the voltage, %" in words_of(figure)


def test_the_size_over_growth_changes_where_the_thresholds_say(gatehouse: Brief) -> None:
    figure = figure_under(gatehouse, "Size over growth")
    assert re.search(r"to [\d.]+ %: 45 kVA, then 75 kVA", figure.alt)
    assert "size picked, kVA" in words_of(figure)


def test_a_job_without_studies_still_has_its_plots(made_by_hand: Callable[..., Brief]) -> None:
    assert plots(made_by_hand()).sections


def test_every_picture_is_black_on_white(gatehouse: Brief) -> None:
    """It says the same on a fax: no grey, no color, curves told apart by dashes and by labels at their ends."""
    offered = replace(gatehouse, stock=Stock(OFFERS.read_text(), OFFERS.name), discount=5.0, years=20.0)
    drawn = [
        part
        for report in (plots(offered), diagrams(gatehouse))
        for one in report.sections
        for part in one.parts
        if isinstance(part, Figure)
    ]
    assert len(drawn) > 8
    for figure in drawn:
        inks = set(re.findall(r'(?:fill|stroke)="([^"]*)"', figure.svg))
        assert inks <= {"#000", "#fff", "none"}, figure.caption
        assert "opacity" not in figure.svg and "style=" not in figure.svg


def series(**more: Any) -> Series:
    facts: dict[str, Any] = {
        "name": "current", "kind": "line", "x_name": "time", "x_unit": "s", "y_name": "current", "y_unit": "A",
        "x": (0.0, 1.0, 2.0), "y": (0.0, sqrt(2), 1.0),
    }  # fmt: skip
    return Series(**{**facts, **more})


def test_curves_with_the_same_axes_share_a_picture() -> None:
    found = figures_of(
        [
            series(),
            series(name="other"),
            series(y_name="voltage", y_unit="V"),
            series(kind="bars", x=("a", "b", "c")),
        ]
    )
    assert len(found) == 3
    assert {"current", "other"} <= words_of(found[0]) and "voltage, V" in words_of(found[1])
    assert "1.41 A" in words_of(found[2])


def test_a_sheet_is_one_sound_svg_and_needs_curves() -> None:
    root = ET.fromstring(sheet_of([series(), series(kind="bars", x=("<a>", "b", "c"))], "T & co"))
    inner = [child for child in root if child.tag.endswith("svg")]
    assert len(inner) == 2 and float(inner[1].attrib["y"]) > float(inner[0].attrib["height"])
    with pytest.raises(InputError) as caught:
        sheet_of([], "T")
    assert caught.value.code == "EXM-11"


def test_the_command_writes_the_curves(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = Path(__file__).parents[2] / "examples" / "gatehouse.toml"
    picture = tmp_path / "inrush.svg"
    for _ in range(2):  # a picture that is there is replaced
        assert main(["examine", "inrush", str(job), "--plot", str(picture)]) == 0
    assert ET.parse(picture).getroot().tag.endswith("svg")
    assert main(["examine", "inrush", str(job), "--plot", str(tmp_path / "inrush.txt")]) == 2
    assert "EXM-11" in capsys.readouterr().err


def test_points_of_a_device_go_with_the_papers_and_are_found_again(tmp_path: Path) -> None:
    pytest.importorskip("typst")
    from turnwright.documents.verify import verify

    job = Path(__file__).parents[2] / "examples" / "gatehouse.toml"
    words = [
        "document",
        str(job),
        "--out",
        str(tmp_path),
        "--only",
        "plots",
        "--as",
        "pdf",
        "--hold-off",
        "3000@0.02,500@10",
    ]
    assert main(words) == 0
    assert verify(tmp_path / "plots.pdf").stands


def test_a_fact_given_as_a_range_shows_the_sizes_it_leaves() -> None:
    text = '[supply]\nsystem = "480Y/277"\n[[load]]\nsystem = "208Y/120"\ncurrent = "90..170 A"\n'
    figure = figure_under(brief_of(text), "half known")
    assert "given as 90..170 A" in figure.caption and "load 1 current, A" in words_of(figure)
    assert re.search(r"to 12[45][\d.]* A: 45 kVA, then 75 kVA", figure.alt)  # 45 kVA carries 124.9 A at 208 V


OFFERS = Path(__file__).parent / "data" / "offers.csv"


def test_efficiency_and_cost_are_drawn_of_units_whose_losses_are_given(gatehouse: Brief) -> None:
    assert "efficiency" not in " ".join(
        part.alt for one in plots(gatehouse).sections for part in one.parts if isinstance(part, Figure)
    )
    job = replace(gatehouse, stock=Stock(OFFERS.read_text(), OFFERS.name), discount=5.0, years=20.0)
    pictures = [
        part
        for one in plots(job).sections
        if one.title == "Losses and what they cost"
        for part in one.parts
        if isinstance(part, Figure)
    ]
    alts = " ".join(one.alt for one in pictures)
    assert "efficiency, % over load of the unit, %" in alts and "losses, W over load of the unit, %" in alts
    assert "low losses: efficiency at power factor 1" in alts
    assert "spent so far" not in alts  # no price of energy was given
    priced = brief_of(
        gatehouse.text.replace("[choices]", '[choices]\nprice_kwh = "0.10 USD"'), "gatehouse.toml"
    )
    priced = replace(priced, stock=job.stock, discount=5.0, years=20.0)
    money = next(one for one in plots(priced).sections if one.title == "Losses and what they cost").parts
    assert any(isinstance(one, Figure) and "spent so far" in one.alt for one in money)


def test_terms_that_cannot_be_are_refused_and_not_left_out(gatehouse: Brief) -> None:
    with pytest.raises(InputError) as caught:
        plots(replace(gatehouse, years=-3.0))
    assert caught.value.code == "COST-02"


def test_units_go_with_the_papers_and_are_found_again(tmp_path: Path) -> None:
    pytest.importorskip("typst")
    from turnwright.documents.verify import verify

    job = str(Path(__file__).parents[2] / "examples" / "gatehouse.toml")
    words = ["document", job, "--out", str(tmp_path), "--only", "plots", "--as", "pdf"]
    assert main([*words, "--stock", str(OFFERS), "--years", "20", "--discount", "5"]) == 0
    assert verify(tmp_path / "plots.pdf").stands
