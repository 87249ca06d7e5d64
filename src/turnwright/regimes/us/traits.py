"""How answers of the United States are shown and examined."""

from __future__ import annotations

from turnwright.regimes.traits import USUAL_TRIP, Traits, Words

WORDS = Words(
    ground="ground",
    grounded="grounded",
    ungrounded="ungrounded",
    ground_bar="ground bar",
    equipment="equipment ground",
    electrode="electrode conductor",
    bonding="bonding",
    bond="system bonding jumper",
    board="panel",
    wye="wye",
    grounding="grounding",
    utility="utility",
    neutral_mark="X0",
    lines=("A", "B", "C"),
    outdoor_case="weatherproof, type 3R or better",
)
TRAITS = Traits(
    code="NEC",
    words=WORDS,
    frequency_hz=60.0,
    measure="us",
    symbols="IEEE 315",
    terminal_marks="IEEE C57.12.70",
    heat="ieee",
    not_carried="The NEC of 2026 is not carried: nothing here says what it changed.",
    device_clause=", 450.3(B)",
    law_load_pct=35.0,
    trip_band=USUAL_TRIP,
    impedances="nec_ch9_t9",
    impedance_bands="us_impedance_bands",
    rise_classes="us_rise_classes",
    requirements="nec_450_requirements",
    colors="us_conductor_colors",
    checks="us_commissioning_checks",
)
