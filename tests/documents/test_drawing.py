"""Drawings: every winding on its terminals, the one bond, and the same in words."""

import re
import xml.etree.ElementTree as ET
from cmath import phase
from collections.abc import Callable
from math import degrees, isclose

import pytest
from msgspec.structs import replace

from turnwright.documents.brief import Brief
from turnwright.documents.drawing import phasors, wiring
from turnwright.documents.drawing.connection_of import Joined, connection_of
from turnwright.documents.drawing.shapes import Circle, Coil, Line, Words
from turnwright.documents.drawing.unit_drawing import unit_drawing
from turnwright.model.result import BuckBoost, Pick

SVG = "{http://www.w3.org/2000/svg}"
BOOST = BuckBoost(winding_v=(240.0, 24.0), output_v=228.8, through_kva=3.0)
PICKS = {
    "delta-wye": {},
    "step-up": {"primary": "208 delta", "secondary": "480Y/277", "vector_group": "YNd1"},
    "delta-delta": {"secondary": "240 delta", "vector_group": "Dd0"},
    "delta-zig-zag": {"vector_group": "Dzn0"},
    "three-wire": {"phases": 1, "primary": "480 1ph", "secondary": "120/240 1ph", "vector_group": None},
    "two-wire up": {"phases": 1, "primary": "208 1ph", "secondary": "480 1ph", "vector_group": None},
    "auto": {"arrangement": "autotransformer", "primary": "480Y/277", "vector_group": "YNa0"},
    "auto up": {
        "arrangement": "autotransformer", "phases": 1, "primary": "240 1ph", "secondary": "480 1ph",
        "vector_group": None,
    },
    "boost": {
        "arrangement": "buck-boost", "phases": 1, "primary": "208 1ph", "secondary": "230 1ph",
        "vector_group": None, "buck_boost": BOOST,
    },
    "boost open delta": {
        "arrangement": "buck-boost", "phases": 1, "units": 2, "primary": "208 3ph", "secondary": "230 3ph",
        "vector_group": None, "buck_boost": BOOST,
    },
    "open delta": {
        "arrangement": "open delta", "phases": 1, "units": 2, "primary": "480 3ph", "secondary": "240 3ph",
        "vector_group": None,
    },
    "high leg": {
        "arrangement": "high leg", "units": 3, "primary": "480 3ph", "secondary": "240/120 delta",
        "vector_group": None,
    },
    "zig-zag": {"arrangement": "zig-zag", "primary": "480 3ph", "secondary": "480Y/277", "vector_group": None},
    "scott": {"arrangement": "scott", "primary": "480 3ph", "secondary": "240 1ph", "vector_group": None},
}  # fmt: skip
EVERY = pytest.mark.parametrize("name", PICKS)


@pytest.fixture(scope="session")
def pick(made_by_hand: Callable[..., Brief]) -> Callable[[str], Pick]:
    base = made_by_hand().result.pick
    assert base is not None
    return lambda name: replace(base, **PICKS[name])


def joined(pick: Pick, regime: str = "us") -> Joined:
    found = connection_of(pick, regime)
    assert found is not None
    return found


@EVERY
def test_every_drawing_is_one_sound_svg_in_black(
    name: str, pick: Callable[[str], Pick], made_by_hand: Callable[..., Brief]
) -> None:
    blocks = made_by_hand().result.blocks
    assert blocks is not None
    figure = unit_drawing(replace(blocks, pick=pick(name)), "T1", None, "us")
    assert figure is not None
    root = ET.fromstring(figure.svg)
    width, height = (float(root.attrib[key]) for key in ("width", "height"))
    for element in root.iter():
        assert element.attrib.get("stroke", "#000") == "#000"
        for key in ("x", "x1", "x2", "cx"):
            assert -20 <= float(element.attrib.get(key, 0)) <= width, element.attrib
        for key in ("y", "y1", "y2", "cy"):
            assert -20 <= float(element.attrib.get(key, 0)) <= height, element.attrib
    title = root.find(f"{SVG}title")
    assert title is not None and title.text == figure.alt


@EVERY
def test_every_terminal_is_named_and_every_winding_drawn(name: str, pick: Callable[[str], Pick]) -> None:
    of_pick = joined(pick(name))
    wired = wiring.draw(of_pick)
    named = {shape.text for shape in wired.elements if isinstance(shape, Words)}
    assert {*of_pick.supply, *of_pick.load} <= named
    coils = [shape for shape in wired.elements if isinstance(shape, Coil)]
    assert len(coils) == len(of_pick.connection.places)


@EVERY
def test_every_winding_end_lies_on_the_rail_of_its_node(name: str, pick: Callable[[str], Pick]) -> None:
    of_pick = joined(pick(name))
    wired = wiring.draw(of_pick)
    joints = {
        (shape.x, dict(shape.data)["NODE"])
        for shape in wired.elements
        if isinstance(shape, Circle) and shape.layer == "JOINTS"
    }
    assert joints <= {(x, node) for (_, node), x in wired.rails.items()}
    ends = {node for place in of_pick.connection.places for node in (place.dot, place.other)}
    assert {node for _, node in joints} >= ends
    lines = {(shape.x1, shape.y1, shape.x2) for shape in wired.elements if isinstance(shape, Line)}
    for coil in (shape for shape in wired.elements if isinstance(shape, Coil)):
        told = dict(coil.data)
        for node, y in ((told["DOT"], coil.top), (told["OTHER"], coil.bottom)):
            assert any((coil.x, y, x) in lines for (_, own), x in wired.rails.items() if own == node)


@EVERY
@pytest.mark.parametrize("regime", ["us", "iec"])
def test_nodes_drawn_are_nodes_solved(name: str, regime: str, pick: Callable[[str], Pick]) -> None:
    of_pick = joined(pick(name), regime)
    solved = phasors.potentials(of_pick, 480.0)
    drawn = {
        dict(shape.data)["NODE"]
        for shape in wiring.draw(of_pick).elements
        if isinstance(shape, Circle) and shape.data
    }
    assert drawn == {*solved}


@EVERY
def test_the_words_name_every_terminal_of_every_winding(
    name: str, pick: Callable[[str], Pick], made_by_hand: Callable[..., Brief]
) -> None:
    blocks = made_by_hand().result.blocks
    assert blocks is not None
    figure = unit_drawing(replace(blocks, pick=pick(name)), "T1", None, "us")
    assert figure is not None
    for place in joined(pick(name)).connection.places:
        for node in (place.dot, place.other):
            assert "." in node or node in figure.alt


def test_phasors_have_the_lag_of_the_vector_group(pick: Callable[[str], Pick]) -> None:
    at = phasors.potentials(joined(pick("delta-wye")), 480.0)
    lag = degrees(phase((at["H1"] - (at["H1"] + at["H2"] + at["H3"]) / 3) / (at["X1"] - at["X0"])))
    assert isclose(lag, 30.0, abs_tol=1e-6)  # IEC 60076-1: clock number 1 is 30° behind
    assert isclose(degrees(phase(at["H1"])), 90.0, abs_tol=1e-6)


def test_h_stands_at_the_higher_voltage_also_when_it_is_the_load(pick: Callable[[str], Pick]) -> None:
    up = joined(pick("step-up"))
    assert (up.supply, up.load, up.load_neutral) == (("X1", "X2", "X3"), ("H1", "H2", "H3"), "H0")
    down = joined(pick("delta-wye"))
    assert (down.supply, down.load, down.load_neutral) == (("H1", "H2", "H3"), ("X1", "X2", "X3"), "X0")


def test_iec_units_bear_the_marks_of_iec(pick: Callable[[str], Pick]) -> None:
    three = joined(pick("delta-wye"), "iec")
    assert (three.supply, three.load, three.load_neutral) == (("1U", "1V", "1W"), ("2U", "2V", "2W"), "2N")
    single = joined(pick("three-wire"), "iec")
    assert (single.supply, single.load, single.load_neutral) == (("1.1", "1.2"), ("2.1", "2.4"), "2.2 2.3")
    lag = phasors.potentials(three, 480.0)
    assert isclose(degrees(phase(lag["1U"])), 90.0, abs_tol=1e-6)


@EVERY
def test_every_connection_is_drawn_with_the_marks_of_iec_too(
    name: str, pick: Callable[[str], Pick], made_by_hand: Callable[..., Brief]
) -> None:
    blocks = made_by_hand().result.blocks
    assert blocks is not None
    figure = unit_drawing(replace(blocks, pick=pick(name)), "T1", None, "iec")
    assert figure is not None
    assert not re.search(r">[HX]\d", figure.svg)


def test_the_bond_is_drawn_only_where_the_answer_has_one(made_by_hand: Callable[..., Brief]) -> None:
    blocks = made_by_hand().result.blocks
    assert blocks is not None
    bonded = unit_drawing(blocks, "T1", None, "us")
    floating = replace(blocks.grounding, system_bonding_jumper=None, electrode_conductor=None)
    without = unit_drawing(replace(blocks, grounding=floating), "T1", None, "us")
    assert bonded is not None and without is not None
    assert "the one bond" in bonded.svg and "system bonding jumper 3/0 AWG" in bonded.svg
    assert "the one bond" not in without.svg


@pytest.mark.parametrize(
    "changes", [{"vector_group": "Dyn4"}, {"vector_group": None}, {"arrangement": "odd"}]
)
def test_a_connection_that_cannot_be_told_is_not_drawn(
    changes: dict[str, str | None], pick: Callable[[str], Pick]
) -> None:
    assert connection_of(replace(pick("delta-wye"), **changes), "us") is None
