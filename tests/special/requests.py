"""What requests as they come by phone must answer, worked out by hand before they were run; every row says from what.

The jobs stand in `data` beside the others; places and people are invented. `Says` looks for words in the findings.
"""

from __future__ import annotations

from .expected import EPRACTICE, K_STEP, LOUD, SERIES, SPECTRA, Least, Row, Says

MOTOR_QUARTER = "with a quarter of the largest motor (common practice)"
BANDS = "bands of mass and size by kVA (memory)"
DIMMED = "K-13 is usual for dimmer racks (common practice)"
LINE_TO_LINE = (
    "240 V equipment hangs between lines of 240 V; 415Y/240 is no usual system here (common practice)"
)
OUTSIDE = "the same unit outside the classified place"

EXPECTED: dict[str, tuple[Row, ...]] = {
    "dc_drive": (
        Row("demand.kva", 74.82, "1.732 · 240 V · 180 A"),
        Row("demand.kva_required", 93.53, "74.82 · 1.25, " + MOTOR_QUARTER),
        Row("pick.kva", 112.5, SERIES),
        Row("pick.k_rating", 9, K_STEP + ", 4.83 of a six-pulse thyristor bridge"),
        Row("pick.secondary", "240Y/139", "the drive asks for a grounded wye at 230 V"),
        Row("protection.secondary_a", Least(225), "125 % of 180 A"),
    ),
    "ups_load": (
        Row("demand.k_factor", 6.60, SPECTRA),
        Row("pick.k_rating", 9, K_STEP),
        Row("pick.kva", 45, SERIES),
        Row("pick.shield", True, "usual for computing (common practice)"),
        Row("currents.neutral_load_a", 0.0, "a six-pulse bridge has no orders divisible by three"),
    ),
    "generator_small": (
        Row("fault.primary_a", 515.5, "60 kVA / (1.732 · 480 V) / 14 %"),
        Row("findings.generator-source.limit", 97.5, "1.3 times 75 kVA (common practice)"),
        Row("pick.kva", 75, SERIES),
        Row("findings.temporary-power.severity", "caution", "NEC 590.6"),
    ),
    "generator_overload": (
        Row(
            "findings.source-carries-load.severity",
            "stop",
            "70 kVA on a 60 kVA set: no transformer changes that",
        ),
        Row("findings.source-carries-load.limit", 60, "the set"),
    ),
    "generator_ca": (
        Row("pick.k_rating", 9, "six-pulse drives K-4 to K-9, the upper one (common practice)"),
        Row("pick.secondary", "480Y/277", "grounded wye asked"),
        Row("pick.enclosure", "nonventilated", EPRACTICE),
        Row("findings.regenerates.limit", 15, "a set takes back about 10 % of 150 kVA (memory)"),
        Row("findings.generator-source.limit", 97.5, "1.3 times 75 kVA"),
    ),
    "mine_ca": (
        Row("pick.kva", 300, SERIES),
        Row("pick.secondary", "415Y/240", "what the racks ask for"),
        Row("pick.enclosure", "nonventilated", EPRACTICE + ": drifting snow, 30 to 300 kVA"),
        Row("demand.k_factor", 1.04, SPECTRA + ", measured"),
        Row("demand.loading_pct", 93.3, "280 / 300"),
        Row("findings.cold.limit", -30, "TM 5-684"),
    ),
    "ev_dc": (
        Row("demand.kva", 122.45, "2 · 60 kW / 0.98"),
        Row("demand.k_factor", 1.0814, "(1 + 25 · 0.0016 + 49 · 0.0009) / 1.0025"),
        Row("pick.kva", 150, SERIES),
        Row("pick.vector_group", "YNd1", "208 V delta to a 480 V wye, the higher voltage first"),
        Row("protection.secondary_a", Least(184.1), "NEC 625.41: 125 % of 147.3 A"),
        Row("findings.step-up.severity", "note", "NEC 450.11(B)"),
    ),
    "ev_240": (
        Row("demand.kva", 64.8, "9 · 30 A · 240 V"),
        Row("pick.secondary", "240 delta", LINE_TO_LINE),
        Row("currents.secondary_load_a", 155.9, "three pieces on each pair: 1.732 · 90 A"),
        Row("pick.kva", 75, SERIES),
        Row("protection.secondary_a", Least(194.9), "NEC 625.41: 125 %"),
        Row("findings.output-grounding.severity", "caution", "NEC 250.21: it floats until somebody decides"),
        Row(
            "findings.charger-ground.severity",
            "caution",
            "charging equipment checks its ground (common practice)",
        ),
    ),
    "solar_ca": (
        Row("pick.kva", 112.5, SERIES),
        Row("pick.secondary", "480Y/277", "the inverters' plates"),
        Row("findings.interconnection.severity", "caution", "the utility is asked (common practice)"),
        Row("findings.volts-rise.unit", "%", "power fed back lifts the volts"),
    ),
    "storage_iec": (
        Row(
            "pick.arrangement",
            "isolation",
            "power flows both ways: windings and earth of its own (common practice)",
        ),
        Row("pick.kva", 100, "next size of the IEC series"),
        Row("findings.interconnection.severity", "caution", "the network operator is asked"),
        Row("findings.fifty-hertz.severity", "caution", "480 V equipment is mostly made for 60 Hz"),
    ),
    "three_welders": (
        Row("demand.kva", 33.46, "3 · 14.4 kVA · sqrt(0.6)"),
        Row("pick.secondary", "240 delta", LINE_TO_LINE),
        Row("pick.kva", 45, SERIES),
        Row("findings.welder-conductors.value", 46.8, "NEC Table 630.11(A): 0.78 at 60 %"),
        Row("findings.flicker.value", 52.0, "43.2 kVA at 480 V"),
    ),
    "one_spot": (
        Row("demand.basis", "drop", "first order: 72 · (1.6 · 0.6 + 3.666 · 0.8) / 6"),
        Row("demand.kva_required", 46.71, "the same"),
        Row("demand.kva", 20.36, "72 · sqrt(0.08)"),
        Row("pick.kva", 50, "single-phase series"),
        Row("pick.primary", "480 1ph", "two lines of the supply"),
    ),
    "two_spots": (
        Row(
            "demand.basis",
            "drop",
            "60 kVA on each of two pairs: (2 + 0.5 + 0.866 · tan(68.0° - 60°)) · 60 = 157.3 kVA",
        ),
        Row("demand.kva_required", 77.9, "157.3 · (1.5 · 0.5 + 3.708 · 0.866) / 8"),
        Row("demand.kva", 41.57, "120 · sqrt(0.12)"),
        Row("pick.kva", 112.5, SERIES),
    ),
    "press_dip": (
        Row("demand.kva", 43.23, "NEC Table 430.250: 52 A at 480 V"),
        Row("demand.basis", "dip", "40 hp, code letter G, 15 % behind 4 to 6 % of impedance and 18 kA"),
        Row("pick.kva", 112.5, SERIES),
        Row("pick.vector_group", "YNd1", "208 V delta to a 480 V wye"),
    ),
    "drive_690": (
        Row("demand.k_factor", 6.66, SPECTRA),
        Row("demand.basis", "harmonics", "no K ratings there: an ordinary unit, larger"),
        Row("demand.kva_required", 178.0, "119.5 · 1.25 · sqrt((1 + 6.66 · 0.08) / 1.08)"),
        Row("pick.kva", 200, "next size of the IEC series"),
        Row("pick.secondary", "690Y/400", "IEC 60038"),
    ),
    "mri": (
        Row("demand.basis", "drop", "110 · (2 · 0.9 + 3.464 · 0.436) / 4"),
        Row("demand.kva_required", 91.0, "the same"),
        Row("pick.kva", 112.5, SERIES),
        Row("demand.k_factor", 2.566, "(1 + 25 · 0.04 + 49 · 0.0144) / 1.0544"),
        Row("pick.k_rating", 4, K_STEP),
        Row("pick.shield", True, "imaging (common practice)"),
        Row(
            "findings.imaging.value",
            72.2,
            "NEC 517.73: all of the long-time 72.2 A is more than half of 132 A",
        ),
    ),
    "xray_1ph": (
        Row("verdict", "refused", "no winding makes three phases out of one"),
        Row("findings.three-phase-from-single-phase.severity", "stop", "circuit theory"),
        Row("instead.0.what", Says("phase converter"), "a machine or electronics makes the missing phases"),
    ),
    "ct_iec": (
        Row("demand.basis", "drop", "120 · (2.4 · 0.9 + 3.2 · 0.436) / 5"),
        Row("demand.kva_required", 85.3, "the same"),
        Row("pick.kva", 100, "next size of the IEC series"),
        Row("pick.shield", True, "imaging (common practice)"),
        Row("findings.imaging.value", 120, "the momentary load decides"),
    ),
    "crane": (
        Row("demand.kva", 28.77, "NEC Table 430.250: 27 and 7.6 A at 480 V"),
        Row("demand.kva_required", 34.38, "28.77 + 0.25 · 22.45, " + MOTOR_QUARTER),
        Row("pick.kva", 45, SERIES),
        Row("findings.crane.severity", "caution", "NEC 610.14: time rating of the motors"),
        Row("findings.braking-power.severity", "caution", "does it give power back"),
    ),
    "regen_drive": (
        Row("demand.kva", 83.14, "1.732 · 400 V · 120 A"),
        Row("demand.kva_required", 103.9, MOTOR_QUARTER),
        Row("pick.kva", 112.5, SERIES),
        Row("pick.secondary", "400Y/230", "grounded wye asked"),
        Row("findings.regenerates.value", 83.14, "all of it may come back"),
    ),
    "induction": (
        Row("demand.kva", 166.7, "150 kW / 0.9"),
        Row("demand.k_factor", 4.192, "4.5041 / 1.0745 by hand"),
        Row("pick.k_rating", 9, K_STEP),
        Row("pick.kva", 225, SERIES),
        Row("findings.furnace-may-float.severity", "note", "NEC 250.21(A)(1)"),
        Row("findings.thyristor-firing.severity", "caution", "phase angle"),
    ),
    "furnace_burst": (
        Row("demand.kva_with_growth", 69.47, "60 / 0.95 · 1.1"),
        Row("pick.kva", 75, "single-phase series"),
        Row("pick.k_rating", 1, "burst firing leaves whole sines"),
        Row("findings.two-lines.severity", "caution", "two of three lines carry it all"),
    ),
    "temp_site": (
        Row("pick.kva", 45, SERIES),
        Row("findings.temporary-power.severity", "caution", "NEC 590.6"),
        Row("findings.temporary-ground.severity", "caution", "each place is a new derived system"),
    ),
    "high_2500": (
        Row(
            "demand.kva_required", Least(45.55), "43.5 / 0.955, IEEE C57.96: 0.3 % for each 100 m over 1000 m"
        ),
        Row("pick.kva", 75, SERIES),
        Row("findings.derated-by-altitude.severity", "note", "above 1000 m"),
    ),
    "roof_50": (
        Row(
            "demand.kva_required",
            Least(45.6),
            "44 / 0.965, IEEE C57.96: 0.35 % for each K over 30 °C average",
        ),
        Row("pick.kva", 75, SERIES),
        Row("findings.warm-place.value", 50, "peak"),
        Row(
            "findings.warm-place.message",
            Says("41.6 kVA at 115 K"),
            "15 % more from 35 K less (common practice)",
        ),
        Row("findings.roof.severity", "caution", "weight, wind, sun"),
    ),
    "cement": (
        Row("pick.kva", 112.5, SERIES),
        Row("pick.enclosure", "nonventilated", EPRACTICE + ": dust"),
        Row("pick.sound_limit_db", 55, LOUD + ", nonventilated 50 to 150 kVA"),
        Row("findings.dust.severity", "caution", "vents"),
    ),
    "salt_iec": (
        Row("pick.kva", 125, "next size of the IEC series"),
        Row("pick.enclosure", "cast", EPRACTICE + ": salt, over 30 kVA"),
        Row("pick.secondary", "690Y/400", "IEC 60038"),
    ),
    "food_60": (
        Row("pick.kva", 75, SERIES),
        Row("pick.enclosure", "nonventilated", EPRACTICE + ": hoses, over 30 kVA"),
        Row("efficiency.law_pct", None, "10 CFR 431.192: nonventilated units are outside"),
        Row("findings.mass.value", 820, "410 kg · 2, " + BANDS),
    ),
    "iso_power": (
        Row("pick.kva", 7.5, "6 kVA on the whole winding, coils in parallel"),
        Row("pick.secondary", "120 1ph", "two wires"),
        Row("findings.isolated-power.limit", 10, "NEC 517.160: 10 kVA advised"),
        Row("findings.must-not-ground.severity", "caution", "NEC 250.22"),
        Row("grounding.system_bonding_jumper", None, "isolated power is not bonded"),
    ),
    "one_sign": (
        Row("pick.kva", 7.5, "the same unit for a sign"),
        Row(
            "grounding.system_bonding_jumper",
            "8 AWG",
            "NEC 250.20(B)(1) and Table 250.102(C)(1), 4 AWG phase",
        ),
        Row("findings.bond-once.severity", "note", "NEC 250.30(A)(1)"),
    ),
    "dimmers": (
        Row("pick.k_rating", 13, DIMMED),
        Row("pick.shield", True, "usual with it (common practice)"),
        Row("pick.sound_limit_db", 50, LOUD + ": the ordinary level in a quiet place"),
        Row("pick.kva", 112.5, SERIES),
        Row("findings.stage-and-film.severity", "caution", "NEC 520.27"),
        Row(
            "findings.sound-together.value",
            58.7,
            "50 + 10 lg 6.09 m² = 57.8 dB; + 10 lg (4 / (5 % of 66 m²))",
        ),
    ),
    "led": (
        Row("demand.k_factor", 1.50, SPECTRA),
        Row("pick.k_rating", 4, K_STEP),
        Row("currents.neutral_load_a", 35.5, "3 · sqrt(0.18² + 0.02²) / 1.0202 of 66.6 A"),
        Row("pick.kva", 30, SERIES),
    ),
    "unmeasured_iec": (
        Row("demand.basis", "harmonics", "no K ratings there: an ordinary unit, larger"),
        Row(
            "demand.kva_required",
            68.7,
            "50 · sqrt((1 + 13 · 0.08) / 1.08), C57.110 with the K-13 of all electronics",
        ),
        Row("pick.kva", 80, "next size of the IEC series"),
    ),
    "seismic_hospital": (
        Row("pick.kva", 75, SERIES),
        Row("findings.mass.value", 410, BANDS),
        Row(
            "findings.seismic.value",
            2.895,
            "0.4 · 1.0 / (2.5 / 1.5) · 3 = 0.72 of 410 kg · 9.80665 N/kg, ASCE/SEI 7-16",
        ),
        Row("findings.floor-load.limit", 2.394, "50 lbf/ft²"),
        Row("findings.floor-load.value", 18.2, "410 kg on 0.47 m square"),
        Row("findings.way-in.severity", "caution", "a large one is wider, and heavier than the lift carries"),
    ),
    "narrow_door": (
        Row("pick.kva", 300, SERIES),
        Row("findings.way-in.severity", "stop", "0.73 m at least through 0.6 m, " + BANDS),
    ),
    "hazard_unknown": (
        Row("findings.hazardous.severity", "stop", "no ventilated unit before the class is known"),
        Row("pick.enclosure", "nonventilated", "without openings, whatever the class"),
    ),
    "hazard_dust_div1": (
        Row("verdict", "refused", "NEC 502.100(A): a vault, or an assembly identified for it"),
        Row("instead.0.pick.kva", 75, OUTSIDE),
    ),
    "hazard_dust_div2": (
        Row("verdict", "selected", "NEC 502.100(B): tight metal without openings"),
        Row("pick.enclosure", "nonventilated", "the same"),
        Row("findings.classified.severity", "caution", "the same"),
    ),
    "hazard_gas_div2": (
        Row("verdict", "selected", "NEC 501.100(B): as any other dry type indoors"),
        Row("pick.enclosure", "ventilated", "the same"),
    ),
    "hazard_vault": (
        Row("verdict", "selected", "NEC 502.100(A): in a vault"),
        Row("findings.classified.severity", "note", "the same"),
    ),
    "zone_iec": (
        Row("verdict", "refused", "IEC 60079-14: certified for zone 1 only"),
        Row("instead.0.pick.kva", 40, OUTSIDE),
        Row("instead.0.pick.enclosure", "ventilated", "outside nothing asks for a closed one"),
    ),
    "ref_freq": (
        Row("verdict", "refused", "no winding changes the frequency"),
        Row("findings.frequency-stays.severity", "stop", "circuit theory"),
        Row("instead.0.what", Says("frequency converter"), "what does"),
    ),
    "plating_dc": (
        Row("verdict", "refused", "only a changing flux makes volts on the other side"),
        Row("findings.direct-current.severity", "stop", "circuit theory"),
        Row("instead.0.what", Says("rectifier"), "what does"),
        Row("instead.1.pick.kva", 30, "the pumps, 20 kVA: " + SERIES),
    ),
    "ref_phase": (
        Row("verdict", "refused", "no winding makes three phases out of one"),
        Row("instead.0.what", Says("phase converter"), "what does"),
    ),
}
