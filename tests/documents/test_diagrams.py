"""One-line diagrams and plots: what they show is the answer, in the drawing and in words."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from types import ModuleType

from msgspec.structs import replace

from turnwright.documents.brief import Brief
from turnwright.documents.drawing.bars import FROM_X, TO_X, Bar, bars
from turnwright.documents.papers.diagrams import diagrams
from turnwright.documents.papers.plots import plots
from turnwright.documents.report import Figure
from turnwright.documents.writers.record import record
from turnwright.intake import read_job
from turnwright.model.result import BuckBoost
from turnwright.narrow import select


def figures_of(brief: Brief) -> list[Figure]:
    return [part for one in diagrams(brief).sections for part in one.parts if isinstance(part, Figure)]


def test_the_one_line_shows_device_conductors_unit_and_faults_in_order(
    made_by_hand: Callable[..., Brief],
) -> None:
    said = figures_of(made_by_hand())[0].alt
    order = [
        "supply 480Y/277 V 4-wire",
        "fault current 30.0 kA",
        "breaker 450 A (≤ 800), interrupting at least 30.0 kA",
        "2 × 4/0 AWG Cu, 2 in steel",
        "T1: One three-phase 300 kVA unit",
        "one bond of the neutral, jumper 3/0 AWG",
        "largest fault at the terminals 15.8 kA",
        "3 × 400 kcmil Cu",
        "breaker 1000 A (≤ 1200), interrupting at least 16.8 kA",
        "load side 208Y/120 V 4-wire",
    ]
    places = [said.index(text) for text in order]
    assert places == sorted(places)


def test_what_the_one_line_says_is_drawn_beside_it(made_by_hand: Callable[..., Brief]) -> None:
    figure = figures_of(made_by_hand())[0]
    drawn = " ".join(
        element.text or "" for element in ET.fromstring(figure.svg).iter() if element.tag.endswith("text")
    )
    for text in ("breaker 450 A (≤ 800)", "2 × 4/0 AWG Cu", "one bond of the neutral", "load 1"):
        assert text in drawn


def test_no_device_and_no_bond_are_not_drawn(made_by_hand: Callable[..., Brief]) -> None:
    blocks = made_by_hand().result.blocks
    assert blocks is not None
    bare = replace(
        blocks,
        protection=replace(blocks.protection, secondary_a=None, secondary_devices_a=()),
        grounding=replace(blocks.grounding, system_bonding_jumper=None),
    )
    said = figures_of(made_by_hand(blocks=bare))[0].alt
    assert said.count("breaker") == 1 and "bond of the neutral" not in said


def test_terminals_say_what_they_are_joined_to(made_by_hand: Callable[..., Brief]) -> None:
    rows = [line for line in record(diagrams(made_by_hand())) if line[0] == "row"]
    assert ("row", "H1", "supply side", "line 1 of the supply") in rows
    assert (
        "row",
        "X0",
        "load side",
        "neutral of the loads; to the ground bar: one bond of the neutral, jumper 3/0 AWG",
    ) in rows
    assert ("row", "core 1", "H1", "H3", "480 V") in rows


def test_bars_are_as_long_as_their_values() -> None:
    figure = bars((Bar("a", 50.0, "50 %"), Bar("b", 100.0, "100 %")), ((100.0, "full"),), "Loading")
    assert figure is not None
    widths = [float(width) for width in re.findall(r'width="([\d.]+)" height="12" fill="#000"', figure.svg)]
    assert widths == [(TO_X - FROM_X) / 2, TO_X - FROM_X]
    assert figure.alt == "Loading: a: 50 %; b: 100 %. Lines: full."
    assert bars((), (), "Loading") is None


def test_plots_show_every_size_and_phase(gatehouse: Brief) -> None:
    said = " ".join(" ".join(line) for line in record(plots(gatehouse)) if line[0] == "drawing")
    for option in gatehouse.result.options:
        if option.kva is not None and option.loading_pct is not None:
            assert f"{option.arrangement} {option.kva:g} kVA:" in said
    assert "phase A" in said and "phase C" in said and "25 kVA, a third of the unit" in said


def test_links_of_a_buck_boost_unit_follow_its_windings(
    made_by_hand: Callable[..., Brief], samples: ModuleType
) -> None:
    boost = replace(
        samples.BUCK_BOOST.pick,
        buck_boost=BuckBoost(winding_v=(240.0, 12.0), output_v=218.4, through_kva=4.0),
    )
    brief = made_by_hand(blocks=replace(samples.BUCK_BOOST, pick=boost))
    rows = {line[1]: line for line in record(diagrams(brief)) if line[0] == "row"}
    assert rows["input coils"][3] == "in series: H2 to H3; ends H1 and H4"
    assert rows["output coils"][3] == "in parallel: X1 to X3, X2 to X4; ends X1 and X4"


def test_the_loads_of_a_zig_zag_hang_on_the_line_and_not_behind_it(pump_house: Brief) -> None:
    """NEC 450.5(A): beside the line; drawn in it, somebody would feed the loads through it."""
    text = '[supply]\nsystem = "480 3ph"\ngrounding = "ungrounded"\n[[load]]\nname = "lamps"\nsystem = "480Y/277"\n'
    job = read_job(f'{text}kva = "20 kVA"\n[choices]\narrangement = "zig-zag"', "job.toml")
    said = figures_of(replace(pump_house, job=job, result=select(job)))[0].alt
    assert said.index("lamps") < said.index("zig-zag unit") and "breaker" not in said and "fuse" not in said
