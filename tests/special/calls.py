"""More requests with answers worked out by hand before they were run: sources, halls, welders, heat, refusals.

The jobs stand in `data`; places and people are invented. Rows as in `expected`.
"""

from __future__ import annotations

from .expected import DROP, EPRACTICE, K_STEP, LOUD, SERIES, SPECTRA, Least, Row, Says

QUARTER = "a quarter of the largest motor (common practice)"
USUAL = "usual service to 5 % distortion, IEEE C57.12.01 (memory)"
FACTOR = "Σ I_h² h² / Σ I_h² by hand"
CHARGING = "NEC 625.41: 125 %"

EXPECTED: dict[str, tuple[Row, ...]] = {
    "pump_drives": (
        Row("demand.kva", 89.8, "4 · 27 A (NEC Table 430.250) at 480 V"),
        Row("demand.kva_required", 104.4, "89.8 · 1.1 + 22.45 / 4, " + QUARTER),
        Row("demand.k_factor", 6.66, SPECTRA),
        Row("pick.kva", 112.5, SERIES),
        Row("pick.k_rating", 9, K_STEP),
        Row("pick.secondary", "480Y/277", "the drives ask for a grounded wye"),
        Row("findings.harmonic-heating.message", Says("smallest marked rating"), "why K-9"),
    ),
    "saw_drive": (
        Row("demand.kva_required", 128.9, "1.732 · 480 V · 124 A · 1.25, " + QUARTER),
        Row("pick.kva", 150, SERIES),
        Row("pick.k_rating", 20, K_STEP + ", 13.7 without a choke"),
        Row("pick.enclosure", "nonventilated", EPRACTICE + ": dust"),
    ),
    "ups_servers": (
        Row("demand.k_factor", 1.06, SPECTRA),
        Row("pick.k_rating", 1, USUAL),
        Row("demand.loading_pct", 93.3, "42 / 45"),
        Row("findings.electronic-source.limit", 160, "80 kVA give twice that at most (common practice)"),
    ),
    "film_set": (
        Row("demand.k_factor", 1.50, SPECTRA),
        Row("fault.primary_a", 1253, "125 kVA / (1.732 · 480 V) / 12 %"),
        Row("pick.kva", 75, SERIES),
        Row("findings.generator-source.limit", 97.5, "1.3 · 75 kVA (common practice)"),
        Row("findings.temporary-power.severity", "caution", "NEC 590.6"),
    ),
    "emergency_set": (
        Row("findings.source-carries-load.severity", "stop", "95 kVA · 1.2 on 100 kVA"),
        Row("demand.kva_with_growth", 114, "95 · 1.2"),
    ),
    "hall_750": (
        Row("demand.kva_with_growth", 704, "640 · 1.1"),
        Row("pick.kva", 750, SERIES),
        Row("pick.k_rating", 1, USUAL + ": sqrt(3.5² + 2²) = 4.03 %"),
        Row("fault.infinite_source_a", 18971, "1043.4 A / 5.5 %"),
        Row("findings.low-rise-losses.severity", "note", "94 % day and night, in a closed room"),
    ),
    "mine_hot_high": (
        Row("demand.kva", 618.6, "600 kW / 0.97"),
        Row("demand.kva_required", Least(640), "618.6 / (0.982 · 0.983), the mildest of the rules"),
        Row("pick.kva", 750, SERIES),
        Row("pick.enclosure", "cast", EPRACTICE + ": dust, large"),
        Row("findings.thin-air.value", 0.92, "air at the next row, 1800 m: IEEE C57.12.01 (memory)"),
    ),
    "ev_posts": (
        Row("demand.kva", 79.9, "8 · 48 A · 208 V"),
        Row("currents.secondary_load_a", 249.4, "three, three and two on the pairs: 48 · sqrt(9 + 9 + 9)"),
        Row("protection.secondary_a", Least(311.8), CHARGING),
        Row("pick.kva", 112.5, "3 · 249.4 A · 120 V = 89.8 kVA"),
        Row("findings.charging-continuous.severity", "note", "counted in full"),
    ),
    "ev_fast": (
        Row("demand.k_factor", 1.188, FACTOR),
        Row("pick.k_rating", 4, K_STEP + ", 6.3 % distortion"),
        Row("pick.kva", 500, SERIES),
        Row("protection.secondary_a", Least(703.6), CHARGING + " of 562.9 A"),
    ),
    "battery_140": (
        Row("pick.kva", 150, SERIES),
        Row("findings.volts-rise.unit", "%", "power fed back lifts the volts"),
        Row("findings.interconnection.severity", "caution", "the utility is asked (common practice)"),
    ),
    "projection_welder": (
        Row("demand.kva", 41.1, "150 · sqrt(0.075)"),
        Row("demand.kva_required", 97.6, DROP + ": 150 · (1.2 · 0.5 + 3.816 · 0.866) / 6"),
        Row("demand.basis", "drop", "the same"),
        Row("pick.kva", 100, "single-phase series"),
        Row("findings.welder-conductors.value", 168.75, "NEC Table 630.31(A)(2): 0.27 to 7.5 %"),
        Row("findings.efficiency-drives.severity", "note", "10 CFR 431.192 leaves welding units out"),
    ),
    "press_600": (
        Row("demand.kva", 79.8, "NEC Table 430.250, CEC Table 44: 96 A at 480 V"),
        Row("demand.basis", "dip", "75 · 6.29 kVA within 15 % behind 4.5 % and 20 kA"),
        Row("pick.kva", 150, SERIES),
    ),
    "ct_clinic": (
        Row("demand.basis", "drop", "90 · (1.6 · 0.9 + 3.666 · 0.436) / 4"),
        Row("demand.kva_required", 68.4, "the same"),
        Row("pick.kva", 75, SERIES),
        Row("pick.shield", True, "imaging (common practice)"),
        Row("findings.imaging.value", 54.1, "NEC 517.73: half of 108.3 A"),
    ),
    "xray_vet": (
        Row("demand.basis", "momentary", "half of 50 kVA (common practice), over the 24.8 kVA of the drop"),
        Row("pick.kva", 25, "single-phase series"),
    ),
    "induction_400": (
        Row("demand.kva", 210.5, "200 kW / 0.95"),
        Row("pick.kva", 225, SERIES),
        Row("findings.furnace-may-float.severity", "note", "NEC 250.21(A)(1)"),
    ),
    "kiln_burst": (
        Row("demand.loading_pct", 96, "36 · 1.2 / 45"),
        Row("pick.k_rating", 1, "burst firing leaves whole sines"),
    ),
    "hot_insisted": (
        Row("pick.kva", 45, "insisted"),
        Row("pick.rise_k", 115, "0.92 of the rating by the trade rule, 15 % to spare (common practice)"),
    ),
    "ski_station": (
        Row("demand.kva_required", Least(62.6), "60 / 0.958, 0.3 % for each 100 m over 1000 m"),
        Row("pick.kva", 75, SERIES),
        Row("pick.enclosure", "nonventilated", EPRACTICE + ": snow"),
        Row("findings.cold.limit", -30, "TM 5-684"),
    ),
    "hospital_floor": (
        Row("findings.seismic.value", 4.66, "0.4 · 1.2 / (2.5 / 1.5) · 3 = 0.864 of 550 kg, ASCE/SEI 7-16"),
        Row("findings.floor-load.limit", 3.0, "as told"),
        Row("pick.mass_kg", 550, "heavy end of the band (memory)"),
    ),
    "drive_on_1ph": (
        Row("verdict", "refused", "no winding makes three phases out of one"),
        Row("instead.0.pick", None, "what helps is no transformer"),
    ),
    "welder_insisted": (
        Row("verdict", "refused", "91.3 kVA by drop"),
        Row("instead.0.pick.kva", 100, "single-phase series"),
    ),
    "ordinary_insisted": (
        Row("demand.k_factor", 5.58, FACTOR),
        Row("demand.kva_required", 71.8, "62 · sqrt((1 + 5.58 · 0.08) / 1.08), IEEE C57.110"),
        Row("verdict", "selected", "75 kVA are enough"),
    ),
    "lab_supplies": (
        Row("pick.k_rating", 1, USUAL + ": sqrt(4² + 3²) = 5 %"),
        Row("demand.basis", "heat", "50 kVA ask for 75 kVA without harmonics too"),
    ),
    "call_hall": (
        Row("demand.k_factor", 3.281, FACTOR),
        Row("currents.neutral_load_a", 204.1, "3 · sqrt(0.4² + 0.08²) / 1.0984 of 183.2 A"),
        Row("findings.triplens.severity", "note", "they stay in the delta"),
    ),
    "ups_12pulse": (
        Row("demand.k_factor", 5.39, SPECTRA),
        Row("pick.k_rating", 9, K_STEP),
        Row("pick.kva", 112.5, SERIES),
    ),
    "welders_in_turn": (
        Row("pick.phases", 1, "one at a time: nothing to spread"),
        Row("demand.kva_required", 34.6, DROP + ": 48 · (1.6 · 0.6 + 4.206 · 0.8) / 6"),
        Row("pick.kva", 37.5, "single-phase series"),
    ),
    "mri_tight": (
        Row("demand.k_factor", 1.988, FACTOR),
        Row("demand.kva_required", 106, DROP + ": 110 · (1.5 · 0.95 + 3.162 · 0.312) / 2.5"),
        Row("pick.kva", 112.5, SERIES),
        Row("pick.k_rating", 4, K_STEP),
    ),
    "mine_4500": (
        Row("demand.kva_required", Least(134.0), "120 / 0.895, 0.3 % for each 100 m over 1000 m"),
        Row("pick.kva", 150, SERIES),
        Row("findings.thin-air.value", 0.67, "IEEE C57.12.01 (memory)"),
    ),
    "melting_12pulse": (
        Row("demand.k_factor", 4.875, FACTOR),
        Row("pick.k_rating", 9, K_STEP),
        Row("pick.kva", 500, SERIES),
    ),
    "welder_iec": (
        Row("demand.basis", "drop", "the welding current, not its heat"),
        Row("pick.phases", 1, "two lines of the supply"),
    ),
    "sports_hall": (
        Row("demand.kva", 52, "12 · 4.333 kVA"),
        Row("currents.neutral_load_a", 33.3, "3 · sqrt(0.18² + 0.02²) / 1.0202 of 62.5 A"),
        Row("pick.kva", 75, SERIES),
    ),
    "auto_insisted": (
        Row("verdict", "refused", "an autotransformer has no winding of its own"),
        Row("instead.0.pick.arrangement", "isolation", "separate windings give the wye"),
    ),
    "ev_insisted": (
        Row("verdict", "refused", "2 · 48 A · 240 V = 23.04 kVA"),
        Row("instead.0.pick.kva", 25, "a single-phase unit: two pieces fill no three phases"),
    ),
    "hall_ca": (
        Row("pick.kva", 225, SERIES),
        Row("pick.k_rating", 1, USUAL + ": sqrt(3² + 2²) = 3.6 %"),
        Row("demand.loading_pct", 96, "180 · 1.2 / 225"),
        Row("pick.sound_limit_db", 55, LOUD),
    ),
    "lift_hydraulic": (
        Row("pick.k_rating", 1, "its pump runs on the line"),
        Row("pick.kva", 75, "41.1 kVA and a quarter of it, " + QUARTER),
    ),
    "refinery_div1": (
        Row("verdict", "refused", "NEC 501.100(A): a vault, or a unit approved for the class"),
        Row("instead.0.pick.kva", 150, "the same unit outside the classified place"),
    ),
}
