"""Write ../data/engine_cases.json: circuits described here, outputs from the OpenDSS engine.

Run in an environment with dss-python:  python make_engine_cases.py
The inputs are chosen numbers. The winding terminals come from the connections of this project, so for a vector group
that the engine has of its own it confirms them, and for any other it confirms the solution of the same terminals.
"""

import json
import sys
from importlib.metadata import version
from pathlib import Path

from turnwright.circuit import (
    Impedance,
    Injection,
    PowerLoad,
    conductors,
    delta_load,
    load,
    supply1,
    supply3,
    wye_load,
)
from turnwright.circuit.connections import (
    autotransformer,
    autotransformer_wye,
    buck_boost,
    buck_boost_open_delta,
    buck_boost_wye,
    connection,
    high_leg_delta,
    open_delta,
    scott,
    single_phase_three_wire,
    tee,
    three_phase,
    three_winding,
    two_windings,
    zigzag_earthing,
)
from turnwright.circuit.network import Core, Winding

sys.path.insert(0, str(Path(__file__).parent))
import engine
from describe import Case, case, grouped

H, X, L = ("H1", "H2", "H3"), ("X1", "X2", "X3"), ("L1", "L2", "L3")


BOND = Impedance("bond", "X0", "0", 0.01, 0.0, "bond")
CORNER = Impedance("corner", "X2", "0", 0.01, 0.0, "bond")
FEEDER = conductors("fdr", [*zip(X, L, strict=True), ("X0", "LN")], 0.011, 0.004)


def vector_groups() -> list[Case]:
    uneven_wye = (
        load("load1", "L1", "LN", 11, 0.9, 120),
        load("load2", "L2", "LN", 4, 0.8, 120),
        load("load23", "L2", "L3", 9, 0.95, 208),
    )
    uneven_delta = (load("load12", "X1", "X2", 14, 0.9, 240), load("load31", "X3", "X1", 5, 0.7, 240))
    star_earth = Impedance("primary bond", "H0", "0", 0.01)
    return [
        grouped("E01", "Dyn1, uneven loads", "Dyn1", 45, (480, 208), 2.2, 3.4, BOND, FEEDER, uneven_wye),
        grouped(
            "E02",
            "Dyn11, 50 Hz, no-load branch",
            "Dyn11",
            63,
            (400, 400),
            1.8,
            4.1,
            BOND,
            FEEDER,
            uneven_wye,
            hz=50,
            no_load_loss_pct=0.5,
            magnetizing_pct=2.5,
        ),
        grouped("E03", "Yd1, star not earthed", "Yd1", 30, (480, 240), 2.5, 2.9, CORNER, uneven_delta),
        grouped(
            "E04", "YNd11, star earthed", "YNd11", 30, (480, 240), 2.5, 2.9, CORNER, uneven_delta, star_earth
        ),
        grouped("E05", "Dd0, uneven loads", "Dd0", 75, (480, 240), 2.0, 3.0, CORNER, uneven_delta),
        grouped(
            "E06",
            "YNyn0, uneven loads",
            "YNyn0",
            45,
            (480, 208),
            2.2,
            3.4,
            BOND,
            FEEDER,
            uneven_wye,
            star_earth,
        ),
        grouped("E07", "Dyn5", "Dyn5", 45, (480, 208), 2.2, 3.4, BOND, FEEDER, uneven_wye),
        grouped(
            "E08", "Dzn0, one phase loaded most", "Dzn0", 30, (480, 208), 2.0, 3.0, BOND, FEEDER, uneven_wye
        ),
        grouped("E09", "Yd11, star not earthed", "Yd11", 30, (480, 240), 2.5, 2.9, CORNER, uneven_delta),
        grouped("E10", "Dd6, reversed", "Dd6", 75, (480, 240), 2.0, 3.0, CORNER, uneven_delta),
    ]


def banks_of_units() -> list[Case]:
    supply = supply3("SUP", H, 480, 10e3, 4)
    power = delta_load("power", X, 24, 0.85, 240)
    lights = (load("light1", "X1", "X0", 7, 0.95, 120), load("light2", "X0", "X2", 4, 0.95, 120))
    unequal = [
        two_windings(f"T{k}", 25, (H[k], H[(k + 1) % 3], 480), (X[k], X[(k + 1) % 3], v), 2.0, 3.0)
        for k, v in enumerate((246.0, 240.0, 234.0))
    ]
    mismatched = connection("delta-delta", None, 0.0, unequal, [("primary", "secondary")] * 3, {})
    second = three_phase("U", "Dyn1", 30, 480, 208, 2.8, 2.6, secondary=X, secondary_neutral="X0")
    first = three_phase("T", "Dyn1", 45, 480, 208, 2.2, 3.4)
    return [
        case(
            "E11",
            "open delta",
            [supply],
            [open_delta("T", 25, 480, 240, 1.8, 2.4)],
            CORNER,
            power,
            load("single", "X2", "X3", 6, 0.9, 240),
        ),
        case(
            "E12",
            "high-leg delta, closed",
            [supply],
            [high_leg_delta("T", 37.5, 25, 480, 240, (1.2, 1.6), (2.3, 2.2), 1.2)],
            BOND,
            power,
            lights,
        ),
        case(
            "E13",
            "high-leg delta, open",
            [supply],
            [high_leg_delta("T", 37.5, 15, 480, 240, (1.2, 1.9), (2.3, 2.2), 1.2, closed=False)],
            BOND,
            power,
            lights,
        ),
        case("E14", "delta-delta with unequal ratios, no load", [supply], [mismatched], CORNER),
        case(
            "E15",
            "two Dyn1 units in parallel",
            [supply],
            [first, second],
            BOND,
            wye_load("load", X, "X0", 66, 0.9, 208),
            load("extra", "X1", "X0", 6, 0.9, 120),
        ),
    ]


def phases_of_other_numbers() -> list[Case]:
    supply = supply3("SUP", H, 480, 10e3, 4)
    two_phase = Impedance("bond", "N", "0", 0.01)
    return [
        case(
            "E16",
            "Scott, 480 V three-phase to 240 V two-phase",
            [supply],
            [scott("T", 25, 480, 240, (1.5, 1.8), (2.8, 2.7), 0.8)],
            two_phase,
            load("loadP", "P1", "N", 11, 0.8, 240),
            load("loadQ", "Q1", "N", 19, 0.95, 240),
        ),
        case(
            "E17",
            "T connection, three-phase to three-phase",
            [supply],
            [tee("T", (17.0, 15.0), 480, 208, (2.0, 2.2), (3.0, 2.6), 0.7)],
            CORNER,
            delta_load("power", X, 18, 0.85, 208),
            load("single", "X1", "X3", 4, 0.9, 208),
        ),
    ]


def autotransformers() -> list[Case]:
    supply = supply3("SUP", H, 480, 10e3, 4)
    return [
        case(
            "E18",
            "autotransformer, single-phase",
            [supply1("SUP", "H1", "0", 480, 6e3, 3)],
            [autotransformer("T", 30, 480, 400, 0.5, 0.9)],
            load("load", "X1", "0", 27, 0.9, 400),
        ),
        case(
            "E19",
            "autotransformer, three-phase star, star earthed",
            [supply],
            [autotransformer_wye("T", 75, 480, 240, 0.8, 1.5)],
            BOND,
            load("load1", "X1", "X0", 20, 0.9, 138.56),
            load("load23", "X2", "X3", 12, 0.8, 240),
        ),
        case(
            "E20",
            "buck, single-phase",
            [supply1("SUP", "IN", "0", 264, 5e3, 2)],
            [buck_boost("T", 1, (240, 24), 3.2, 2.1, "buck")],
            load("load", "OUT", "0", 9, 0.92, 240),
        ),
        case(
            "E21",
            "boost, open delta, second line earthed",
            [supply3("SUP", H, 208, 6e3, 2, star=None)],
            [buck_boost_open_delta("T", 1.5, (240, 24), 3.2, 2.1, "boost")],
            Impedance("corner", "H2", "0", 0.01),
            delta_load("power", ("X1", "H2", "X3"), 12, 0.85, 230),
            load("single", "X1", "H2", 2, 1.0, 230),
        ),
        case(
            "E22",
            "boost, star",
            [supply3("SUP", H, 208, 6e3, 2)],
            [buck_boost_wye("T", 1.5, (120, 12), 3.2, 2.1, "boost")],
            BOND,
            wye_load("power", X, "X0", 12, 0.85, 228),
            load("single", "X2", "X0", 2, 1.0, 132),
        ),
    ]


def special() -> list[Case]:
    supply = supply3("SUP", H, 480, 10e3, 4)
    isolated = supply3("SUP", H, 480, 10e3, 4, star=None)
    windings = [Winding("H1", "H2", 480, 0.8), Winding("a", "0", 120, 1.0), Winding("b", "0", 240, 1.1)]
    four = Core("T", 25, (*windings, Winding("c", "0", 24, 1.4)), (3.0, 3.6, 5.0, 2.0, 2.5, 1.8))
    return [
        case(
            "E23",
            "zig-zag earthing unit on an unearthed supply, one line loaded to neutral",
            [isolated],
            [zigzag_earthing("Z", 15, 480, 2.0, 3.0, neutral="0", no_load_loss_pct=0.8, magnetizing_pct=3.0)],
            load("load1", "H1", "0", 6, 0.9, 277),
            delta_load("power", H, 30, 0.9, 480),
        ),
        case(
            "E24",
            "three windings, Dyn11d0",
            [supply],
            [
                three_winding(
                    "T",
                    "Dyn11d0",
                    75,
                    (480, 208, 240),
                    (0.9, 1.1, 1.3),
                    (4.0, 4.4, 6.5),
                    no_load_loss_pct=0.4,
                    magnetizing_pct=1.5,
                )
            ],
            BOND,
            Impedance("corner", "Y2", "0", 0.01),
            load("load1", "X1", "X0", 12, 0.9, 120),
            delta_load("d", ("Y1", "Y2", "Y3"), 25, 0.8, 240),
            load("d12", "Y1", "Y2", 6, 1.0, 240),
        ),
        case(
            "E25",
            "four windings on one core, reactances that fit no star",
            [supply],
            [connection("single-phase", None, None, [four], [("p", "s", "s", "s")], {})],
            load("la", "a", "0", 6, 0.9, 120),
            load("lb", "b", "0", 5, 0.8, 240),
            load("lc", "c", "0", 1, 1.0, 24),
        ),
    ]


def faults() -> list[Case]:
    feeder = conductors("fdr", list(zip(X, L, strict=True)), 0.006, 0.003)
    earthed = {"secondary_neutral": "0"}

    def at(id: str, title: str, group: str, *ends: tuple[str, str]) -> Case:
        shorts = tuple(Impedance(f"fault_{k}", a, b, 0.002, 0.0, "fault") for k, (a, b) in enumerate(ends, 1))
        return grouped(id, title, group, 75, (480, 208), 3.0, 4.0, feeder, shorts, **earthed)

    return [
        at("E26", "Dyn1, three-phase fault clear of earth", "Dyn1", ("L1", "F"), ("L2", "F"), ("L3", "F")),
        at("E27", "Dyn1, one line to earth", "Dyn1", ("L2", "0")),
        at("E28", "Dyn11, two lines to earth", "Dyn11", ("L2", "0"), ("L3", "0")),
        at("E29", "Dyn11, line to line", "Dyn11", ("L1", "L3")),
        case(
            "E30",
            "half winding of a 120/240 V unit",
            [supply3("SUP", H, 480, 12e3, 5)],
            [single_phase_three_wire("T", 25, 480, 240, 1.4, 2.0, 1.2)],
            BOND,
            Impedance("fault", "X1", "X0", 0.001, 0.0, "fault"),
        ),
        grouped(
            "E31",
            "Yd1, two lines of the delta",
            "Yd1",
            75,
            (480, 240),
            3.0,
            4.0,
            CORNER,
            Impedance("fault", "X1", "X2", 0.002, 0.0, "fault"),
        ),
    ]


def constant_power() -> list[Case]:
    earthed = {"secondary_neutral": "0"}
    to_neutral = [
        (PowerLoad("P1", "X1", "0", 11e3, 5e3), 120.0),
        (PowerLoad("P2", "X2", "0", 6e3, 1e3), 120.0),
        (PowerLoad("P3", "X3", "0", 9e3, -2e3), 120.0),
    ]
    between = [
        (PowerLoad("P12", "X1", "X2", 14e3, 6e3), 240.0),
        (PowerLoad("P23", "X2", "X3", 5e3, 4e3), 240.0),
    ]
    feeder = conductors("fdr", list(zip(X, L, strict=True)), 0.05, 0.02)
    at_end = [(PowerLoad("P1", "L1", "0", 9e3, 4e3), 120.0), (PowerLoad("P23", "L2", "L3", 12e3, 6e3), 208.0)]
    return [
        grouped(
            "E32",
            "Dyn1, constant power to neutral",
            "Dyn1",
            45,
            (480, 208),
            2.4,
            3.2,
            powers=to_neutral,
            **earthed,
        ),
        grouped(
            "E33",
            "Dd0, constant power between lines",
            "Dd0",
            45,
            (480, 240),
            2.4,
            3.2,
            CORNER,
            powers=between,
        ),
        grouped(
            "E34",
            "Dyn1, constant power behind a feeder",
            "Dyn1",
            45,
            (480, 208),
            2.4,
            3.2,
            feeder,
            powers=at_end,
            **earthed,
        ),
    ]


def harmonics() -> list[Case]:
    spectrum = ((1, 60.0, -15.0), (3, 30.0, 20.0), (5, 18.0, 160.0), (7, 9.0, -70.0))
    draws = tuple(
        Injection(f"nl{k}h{h}", X[k - 1], "X0", h, a * (1 - 0.2 * k), angle - 120.0 * h * (k - 1) - 30.0 * h)
        for k in (1, 2, 3)
        for h, a, angle in spectrum
    )
    at_star = {"primary_neutral": "0"}
    return [
        grouped("E35", "YNyn0, orders 1 to 7", "YNyn0", 75, (480, 208), 2.2, 4.0, BOND, draws, **at_star),
        grouped(
            "E36", "Dyn11, orders 1 to 7, no-load branch", "Dyn11", 75, (480, 208), 2.2, 4.0, BOND, draws
        ),
    ]


def build() -> list[Case]:
    """Return all cases, without outputs."""
    return [
        *vector_groups(),
        *banks_of_units(),
        *phases_of_other_numbers(),
        *autotransformers(),
        *special(),
        *faults(),
        *constant_power(),
        *harmonics(),
    ]


def outputs(one: Case) -> dict:
    """Return the engine's answer for a case, at each of its orders."""
    orders = one["inputs"].get("harmonics", [1])
    return {
        str(h): {
            key: {name: [value.real, value.imag] for name, value in table.items()}
            for key, table in engine.solve(one, h).items()
        }
        for h in orders
    }


if __name__ == "__main__":
    document = {
        "title": "Circuits solved by the OpenDSS engine",
        "made_with": f"dss-python {version('dss-python')}, engine {version('dss-python-backend')}",
        "note": "outputs as [re, im] by order; the current of winding 2 includes the no-load branch",
        "cases": [{**one, "outputs": outputs(one)} for one in build()],
    }
    path = Path(__file__).resolve().parent.parent / "data" / "engine_cases.json"
    path.write_text(json.dumps(document, indent=1) + "\n")
