"""How answers of the IEC world are shown and examined."""

from __future__ import annotations

from turnwright.regimes.traits import Traits, TripBand, Words

WORDS = Words(
    ground="earth",
    grounded="earthed",
    ungrounded="unearthed",
    ground_bar="earth bar",
    equipment="protective conductor",
    electrode="earthing conductor",
    bonding="earthing",
    bond="earthed point",
    board="distribution board",
    wye="star",
    grounding="earthing",
    utility="network operator",
    neutral_mark="2N",
    lines=("L1", "L2", "L3"),
    outdoor_case="for outdoors, IPX3 or better",
)
TRAITS = Traits(
    code="IEC 60364",
    words=WORDS,
    frequency_hz=50.0,
    measure="metric",
    symbols="IEC 60617",
    terminal_marks="IEC 60616",
    heat="iec",
    not_carried=(
        "Newer parts are out and not carried, as far as is known: 60364-1 of 2025, 4-43 of 2023, amendments of 5-52 "
        "and 5-54. National rules of a country go before them in any case."
    ),
    trip_band=TripBand(
        "iec_limits", "magnetic_d_hold_multiple", "magnetic_d_multiple", "type D trips at once"
    ),
    resistivities="iec_limits",
    impedance_bands="iec_impedance_bands",
    rise_classes="iec_rise_classes",
    requirements="iec_requirements",
    colors="iec_conductor_colors",
    checks="iec_commissioning_checks",
    third_harmonic="iec_third_harmonic",
)
