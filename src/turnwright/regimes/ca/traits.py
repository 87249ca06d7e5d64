"""How answers of Canada are shown and examined."""

from __future__ import annotations

from turnwright.regimes.traits import USUAL_TRIP, Traits, Words

WORDS = Words(
    ground="ground",
    grounded="grounded",
    ungrounded="ungrounded",
    ground_bar="ground bar",
    equipment="bonding conductor",
    electrode="grounding conductor",
    bonding="bonding",
    bond="system bonding jumper",
    board="panel",
    wye="wye",
    grounding="grounding",
    utility="supply authority",
    neutral_mark="X0",
    lines=("A", "B", "C"),
    outdoor_case="weatherproof, type 3R or better",
)
TRAITS = Traits(
    code="CSA C22.1",
    words=WORDS,
    frequency_hz=60.0,
    measure="metric",
    symbols="IEEE 315",
    terminal_marks="IEEE C57.12.70",
    heat="ieee",
    device_clause=", Section 26",
    law_load_pct=35.0,
    trip_band=USUAL_TRIP,
    impedances="nec_ch9_t9",
    impedance_bands="us_impedance_bands",
    rise_classes="us_rise_classes",
    colors="ca_conductor_colors",
    checks="us_commissioning_checks",
)
"""Units are built, and tested, like those south of the border: same impedance, same rise, same marks."""
