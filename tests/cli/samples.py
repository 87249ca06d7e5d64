"""Hand-made results with invented numbers: what the pages and the JSON are tried on."""

from typing import Any

import msgspec

from turnwright.model.result import (
    Alternative,
    Blocks,
    BuckBoost,
    ConductorRun,
    Conductors,
    Currents,
    Demand,
    Efficiency,
    Fault,
    Finding,
    Grounding,
    Option,
    Pick,
    Protection,
    Question,
    Result,
    Tool,
    Voltage,
    WorkingLine,
)

TOOL = Tool(version="0.0.0", tables="sha256:9f2c41aa00")


def fact(
    key: str, value: str, known: str = "given", reason: str = "", where: str = "job.toml, line 7"
) -> dict[str, Any]:
    return {
        "key": key,
        "value": value,
        "known": known,
        "reason": reason,
        "where": where if known == "given" else "",
    }


JOB: dict[str, Any] = {
    "title": "Tile works, glazing line",
    "regime": "us",
    "edition": "2023",
    "facts": [
        fact("supply.system", "480Y/277"),
        fact("load[0].current", "733 A"),
        fact("supply.frequency", "60 Hz", "assumed", "usual in this regime"),
        fact("load[0].power_factor", "0.85", "assumed", "usual for kW loads"),
    ],
}

BLOCKS = Blocks(
    pick=Pick(
        arrangement="isolation",
        phases=3,
        units=1,
        kva=300.0,
        primary="480 delta",
        secondary="208Y/120",
        frequency_hz=60.0,
        vector_group="Dyn1",
        rise_k=150.0,
        k_rating=1.0,
        impedance_pct=5.0,
        shield=False,
        taps=("+5 %", "+2.5 %", "0 %", "-2.5 %", "-5 %"),
        tap="0 %",
        enclosure="ventilated",
        availability="usual stock",
        sound_limit_db=55.0,
        heat_w=None,
        mass_kg=None,
        lines=None,
        buck_boost=None,
    ),
    demand=Demand(
        kva=240.0,
        kva_with_growth=264.0,
        kva_required=264.0,
        basis="heat",
        worst_phase_kva=88.0,
        k_factor=1.0,
        k_at_load=0.77,
        loading_pct=88.0,
    ),
    currents=Currents(
        primary_rated_a=360.8439182435161,
        secondary_rated_a=832.7167344081143,
        primary_load_a=317.5426480542942,
        secondary_load_a=732.7907262791406,
        neutral_load_a=0.0,
        line_load_a=(317.5426480542942,) * 3,
    ),
    protection=Protection(
        primary_only_max_a=500.0,
        primary_with_secondary_max_a=800.0,
        secondary_max_a=1200.0,
        primary_a=450.0,
        secondary_a=1000.0,
        secondary_devices_a=(1000.0,),
        kind="breaker",
        interrupting_min_a=16800.0,
    ),
    conductors=Conductors(
        primary=ConductorRun(
            size="4/0 AWG", sets=2, metal="copper", ampacity_a=460.0, raceway="2 in steel", drop_pct=0.3
        ),
        secondary=ConductorRun(size="400 kcmil", sets=3, metal="copper", ampacity_a=1005.0, drop_pct=0.2),
        neutral=ConductorRun(size="400 kcmil", sets=3, metal="copper", ampacity_a=1005.0),
    ),
    grounding=Grounding(
        equipment_conductor="2 AWG",
        bonding_jumper="1/0 AWG",
        system_bonding_jumper="3/0 AWG",
        load_equipment_conductor="2/0 AWG",
        electrode_conductor="3/0 AWG",
    ),
    fault=Fault(
        secondary_a=13470.0,
        line_ground_a=14390.0,
        maximum_a=15750.0,
        primary_a=30000.0,
        x_over_r=2.9,
        infinite_source_a=16650.0,
    ),
    voltage=Voltage(
        secondary_no_load_v=208.0, secondary_full_load_v=200.3, regulation_pct=3.7, start_dip_pct=None
    ),
    efficiency=Efficiency(at_35_pct=None, law_pct=99.02, loss_ceiling_w=1039.9, law="10 CFR 431.196 (2016)"),
)

WORKING = (
    WorkingLine("load[0].current", "", {}, {}, 733.0, "A", 'job.toml, line 7: "733 A"', "given"),
    WorkingLine("load[0].system", "", {}, {}, 208.0, "V", 'job.toml, line 6: "208Y/120"', "given"),
    WorkingLine(
        "demand.kva",
        "√3 · V · I / 1000",
        {"voltage_v": 208.0, "current_a": 733.0},
        {"voltage_v": "load[0].system", "current_a": "load[0].current"},
        240.0,
        "kVA",
        "vector sum at the nominal voltage",
        "computed",
    ),
    WorkingLine("standard_kva[3, 300].kva", "", {}, {}, 300.0, "kVA", "NEMA ST 20 Table 3-1", "memory"),
    WorkingLine(
        "pick.kva",
        "",
        {"at_least_kva": 264.0, "size_kva": 300.0},
        {"at_least_kva": "demand.kva", "size_kva": "standard_kva[3, 300].kva"},
        300.0,
        "kVA",
        "next usual size",
        "computed",
    ),
    WorkingLine(
        "currents.primary_rated_a",
        "kva * 1000 / (√3 * line_v)",
        {"kva": 300.0, "line_v": 480.0},
        {"kva": "pick.kva", "line_v": "supply.system"},
        360.8439182435161,
        "A",
        "",
        "computed",
    ),
    WorkingLine("supply.system", "", {}, {}, 480.0, "V", 'job.toml, line 4: "480Y/277"', "given"),
)

FINDINGS = (
    Finding(
        code="bond-once",
        severity="note",
        message="Bond the neutral once: here or at the first switch.",
        clause="NEC 250.30(A)(1)",
        known="seen",
    ),
    Finding(
        code="loading-band",
        severity="caution",
        message="88 % is above the usual 50–80 % band.",
        known="common practice",
        value=88.0,
        limit=80.0,
        unit="%",
    ),
    Finding(
        code="room",
        severity="caution",
        message="Over 112.5 kVA indoors it needs a transformer room of fire-resistant construction, or "
        "a unit of a higher insulation class: which room?",
        clause="NEC 450.21(B)",
        known="memory",
    ),
)

QUESTIONS = (
    Question(
        key="load[0].power_factor",
        ask="What power factor is on the nameplate?",
        assumed=0.85,
        why="Below 0.8 the unit would be too small.",
        moves={"kva": [300, 500]},
    ),
    Question(key="site.place", ask="Where will it stand?", assumed="indoor", why="Outdoors asks for a hood."),
)

SELECTED = Result(
    verdict="selected",
    blocks=BLOCKS,
    options=(
        Option(
            arrangement="isolation",
            kva=225.0,
            status="too small",
            loading_pct=117.33,
            why="too small for 264 kVA",
        ),
        Option(
            arrangement="isolation",
            kva=300.0,
            status="fits",
            loading_pct=88.0,
            why="the smallest that carries it",
        ),
        Option(
            arrangement="isolation",
            kva=500.0,
            status="fits",
            loading_pct=52.8,
            why="inside the usual 50–80 % band; 1518 W allowed at 35 % against 1039 W",
        ),
        Option(
            arrangement="autotransformer",
            kva=None,
            status="not allowed",
            loading_pct=None,
            why="the load needs its own grounded system",
        ),
    ),
    findings=FINDINGS,
    questions=QUESTIONS,
    range_kva=(300.0, 500.0),
    instead=(),
    also=(),
    working=WORKING,
    tool=TOOL,
    job=JOB,
)

STOP = Finding(
    code="one-phase-source",
    severity="stop",
    message="Two lines of a single-phase service carry no third phase: no winding connection makes one.",
    known="computed",
    clause=None,
)

REFUSED = msgspec.structs.replace(
    SELECTED,
    verdict="refused",
    blocks=None,
    options=(
        Option(
            arrangement="scott", kva=None, status="not possible", loading_pct=None, why="needs two phases"
        ),
    ),
    findings=(STOP,),
    questions=(),
    range_kva=None,
    instead=(
        Alternative(
            what="A phase converter.", why="It makes the third phase with a rotating machine or electronics."
        ),
        Alternative(
            what="Run the pieces single-phase.",
            why="Each piece also exists for 208 V single-phase.",
            blocks=BLOCKS,
            also=(Alternative(what="A small unit for the controls.", why="They keep 120 V.", blocks=BLOCKS),),
        ),
    ),
    working=(),
)

NEEDS_INPUT = msgspec.structs.replace(
    SELECTED,
    verdict="needs-input",
    blocks=None,
    options=(),
    findings=(),
    questions=(
        Question(
            key="load[0].current",
            ask="How many amperes does the nameplate of load 1 give?",
            why="Without a size of the load no size of the transformer follows.",
            moves={},
        ),
    ),
    range_kva=None,
    working=(),
)

OWN_UNITS = msgspec.structs.replace(
    BLOCKS,
    pick=msgspec.structs.replace(
        BLOCKS.pick,
        phases=1,
        units=4,
        kva=5.0,
        primary="480 1ph",
        secondary="120/240 1ph",
        vector_group="Ii0",
        lines=("AB", "BC", "CA", "AB"),
    ),
)

BUCK_BOOST = msgspec.structs.replace(
    BLOCKS,
    pick=msgspec.structs.replace(
        BLOCKS.pick,
        arrangement="buck-boost",
        phases=1,
        kva=0.25,
        primary="208 1ph",
        secondary="230 1ph",
        vector_group=None,
        buck_boost=BuckBoost(winding_v=(240.0, 24.0), output_v=228.8, through_kva=3.66),
    ),
)
