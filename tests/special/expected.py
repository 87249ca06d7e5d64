"""What each job must answer, worked out by hand; every row says from what.

A row: path in the result, what stands there, from. A number is met within 1 %, `least(x)` from below, text exactly.
"""

from __future__ import annotations

from typing import Any, NamedTuple


class Least(NamedTuple):
    """Not below this."""

    value: float


class Says(NamedTuple):
    """These words stand in it."""

    words: str


class Row(NamedTuple):
    """One expectation."""

    path: str
    value: Any
    source: str


SERIES = "next preferred rating of 10 CFR 431.196"
DROP = "first-order drop S · (R cos + X sin) / limit"
K_STEP = "smallest marked K rating of UL 1561 not below the loss factor"
SPECTRA = "loss factor of the table of typical spectra"
EPRACTICE = "common practice by kind of place"
LOUD = "NEMA ST 20-2014 column (memory)"

EXPECTED: dict[str, tuple[Row, ...]] = {
    "hall_415": (
        Row("pick.kva", 300, SERIES),
        Row("pick.secondary", "415Y/240", "what the racks ask for"),
        Row("demand.k_factor", 1.06, SPECTRA),
        Row("currents.secondary_rated_a", 417.4, "300 / (1.732 · 0.415)"),
        Row("efficiency.loss_ceiling_w", 1039, "10 CFR 431.196 at 35 %: 300 kVA, 1039 W"),
    ),
    "crypto_container": (
        Row("pick.kva", 750, "640 kVA over about 0.95 to 0.98 for 36 °C"),
        Row("pick.enclosure", "cast", EPRACTICE + ": dust, large"),
        Row("demand.k_factor", 1.04, SPECTRA + ", measured"),
    ),
    "offices_unmeasured": (
        Row("pick.kva", 75, SERIES),
        Row("pick.k_rating", 13, "all 120 V electronics, not measured: K-13 (common practice)"),
        Row("pick.shield", True, "common practice for electronics on a K-rated unit"),
        Row("pick.sound_limit_db", 53, LOUD + ": 50 dB + 3 dB for K-13"),
        Row("conductors.neutral.ampacity_a", Least(240.4), "1.732 · 138.8 A, pulses that never overlap"),
    ),
    "studio_measured": (
        Row("demand.kva", 54.04, "1.732 · 208 V · 150 A"),
        Row("demand.k_factor", 4.2186, "Masters, Example 2.13, recomputed"),
        Row("currents.neutral_load_a", 219.1, "Masters: 151.9 / 114.4 of 165 A"),
        Row("pick.k_rating", 9, K_STEP),
        Row("pick.kva", 75, SERIES),
        Row("conductors.neutral.ampacity_a", Least(219.1), "the neutral carries 133 % of the phase"),
    ),
    "drive_spectrum": (
        Row("pick.kva", 225, "159.6 kVA and a quarter of one drive: 179.6 kVA"),
        Row("pick.k_rating", 9, K_STEP + ", 6.66"),
        Row("demand.k_factor", 6.66, SPECTRA),
        Row("pick.secondary", "480Y/277", "grounded wye is asked"),
        Row("pick.vector_group", "Dyn1", "delta to the ungrounded supply, wye to the drives"),
    ),
    "drive_isolation": (
        Row("pick.shield", True, "asked"),
        Row("pick.k_rating", 1, "insisted"),
        Row("demand.basis", "harmonics", "C57.110 on an ordinary unit"),
        Row("demand.kva_required", 57.9, "41.57 · sqrt((1 + 13.7 · 0.08) / 1.08)"),
        Row("pick.kva", 75, SERIES),
    ),
    "generator_site": (
        Row("fault.primary_a", 1002, "100 kVA / (1.732 · 480 V) / 12 %"),
        Row("demand.basis", "dip", "motor start behind set and unit"),
        Row("demand.kva_required", 50.8, "0.04 / (0.25 / 125.8 - 1 / 833)"),
        Row("pick.kva", 75, SERIES),
        Row("findings.generator-source.limit", 97.5, "1.3 times the unit (common practice)"),
    ),
    "generator_dip": (
        Row("fault.primary_a", 3608, "300 kVA / (1.732 · 480 V) / 10 %"),
        Row("demand.basis", "heat", "the dip asks for 24.5 kVA only, heat for 35.3"),
        Row("pick.kva", 45, SERIES),
    ),
    "ups_fed": (
        Row("demand.k_factor", 2.166, "2.3194 / 1.0706 by hand"),
        Row("pick.k_rating", 4, K_STEP),
        Row("currents.neutral_load_a", 48.3, "3 · 0.2 / sqrt(1.0706) of 83.3 A"),
        Row("findings.electronic-source.limit", 160, "twice 80 kVA (common practice)"),
        Row("pick.kva", 30, SERIES),
    ),
    "chargers": (
        Row("demand.kva", 79.87, "12 · 32 A · 208 V"),
        Row("currents.secondary_load_a", 221.7, "1.732 · 4 · 32 A"),
        Row("pick.kva", 112.5, SERIES),
        Row("protection.secondary_a", Least(277.1), "NEC 625.41: 125 %"),
        Row("pick.enclosure", "nonventilated", EPRACTICE + ": snow drifts into ventilated cases"),
    ),
    "solar": (
        Row("pick.kva", 75, SERIES),
        Row("findings.source-current.value", 90.2, "125 % of 72.2 A"),
        Row("findings.interactive-bus.limit", 80, "20 % of the 400 A bus"),
        Row("findings.volts-rise.unit", "%", "power fed back lifts the volts"),
        Row("findings.interconnection.severity", "caution", "the utility is asked"),
    ),
    "storage": (
        Row("pick.kva", 150, SERIES),
        Row("efficiency.law_pct", 98.83, "10 CFR 431.196, three-phase 150 kVA"),
        Row("findings.plate-frequency.severity", "caution", "400 V equipment is mostly 50 Hz"),
    ),
    "regen_lift": (
        Row("demand.kva_required", 63.6, "56.5 kVA and a quarter of 28.3"),
        Row("pick.kva", 75, SERIES),
        Row("pick.sound_limit_db", 50, LOUD),
        Row("findings.lift-coordination.severity", "caution", "NEC 620.62"),
    ),
    "arc_welders": (
        Row("demand.kva", 22.77, "3 · 12 kVA · sqrt(0.4)"),
        Row("findings.welder-conductors.value", 31.5, "NEC Table 630.11(A): 0.63 at 40 %"),
    ),
    "press": (
        Row("demand.basis", "drop", "the drop at the momentary load"),
        Row("demand.kva_required", 75, DROP + ": 90 · (3 · 0.6 + 4 · 0.8) / 6"),
        Row("pick.kva", 75, SERIES),
        Row("voltage.regulation_pct", 6.0, "the same, at 75 kVA"),
    ),
    "imaging": (
        Row("demand.basis", "drop", "the drop at the momentary load"),
        Row("demand.kva_required", 72.2, DROP + ": 100 · (2.5 · 0.9 + 3.12 · 0.436) / 5"),
        Row("pick.kva", 75, SERIES),
        Row("pick.shield", True, "imaging gets a shielded unit of its own (common practice)"),
        Row("findings.imaging.value", 60.1, "NEC 517.73: half of 120.3 A"),
        Row("voltage.regulation_pct", 4.83, "72.2 / 75 · 5 %, second order a little more"),
    ),
    "imaging_no_limit": (
        Row("demand.basis", "momentary", "short-time limit, no drop limit told"),
        Row("demand.kva_required", 40, "half of 80 kVA"),
        Row("pick.kva", 45, SERIES),
    ),
    "furnace": (
        Row("pick.kva", 225, SERIES),
        Row("demand.k_factor", 4.83, SPECTRA),
        Row("pick.k_rating", 9, K_STEP),
        Row("findings.thyristor-firing.severity", "caution", "phase angle"),
    ),
    "thyristor_burst": (
        Row("pick.kva", 45, SERIES),
        Row("pick.k_rating", 1, "burst firing makes no harmonics"),
        Row("findings.flicker.severity", "caution", "burst firing comes and goes"),
    ),
    "film": (
        Row("demand.k_factor", 2.118, "2.3464 / 1.108 by hand"),
        Row("pick.k_rating", 4, K_STEP),
        Row("currents.neutral_load_a", 142.4, "3 · 0.3 / sqrt(1.108) of 166.5 A"),
        Row("fault.primary_a", 1968, "180 kVA / (1.732 · 480 V) / 11 %"),
        Row("findings.temporary-power.severity", "caution", "NEC 590.6"),
    ),
    "altitude": (
        Row("pick.kva", 75, "66 kVA over 0.925 to 0.955"),
        Row("findings.derated-by-altitude.severity", "note", "IEEE C57.96: 0.3 % for each 100 m over 1000 m"),
    ),
    "hot_place": (
        Row("pick.kva", 75, "43 kVA over 0.92 to 0.95 is above 45 kVA"),
        Row("pick.rise_k", 115, "insisted"),
        Row("findings.warm-place.limit", 40, "usual peak ambient"),
    ),
    "salt_outdoor": (
        Row("pick.enclosure", "cast", EPRACTICE),
        Row("pick.kva", 45, SERIES),
        Row("efficiency.law_pct", 98.40, "10 CFR 431.196: a cast unit with vents stays inside the rule"),
    ),
    "washdown": (
        Row("pick.enclosure", "encapsulated", EPRACTICE),
        Row("pick.sound_limit_db", 50, LOUD + ", nonventilated 10 to 30 kVA"),
        Row("efficiency.law_pct", None, "10 CFR 431.192: nonventilated units are outside"),
    ),
    "library": (
        Row("pick.rise_k", 80, "insisted"),
        Row("pick.sound_limit_db", 50, LOUD),
        Row(
            "findings.room-heat.value",
            1920,
            "3.2 % of 75 kVA, times 0.80 for a rise of 80 K: bands by size and build",
        ),
        Row("findings.quiet-place.value", 50, LOUD),
    ),
    "roof": (
        Row("demand.kva_required", 41.6, "40 A (NEC Table 430.250), 125 %"),
        Row("pick.kva", 45, SERIES),
        Row("findings.roof.severity", "caution", "weight and sun"),
    ),
    "vault": (
        Row("pick.kva", 75, SERIES),
        Row("protection.primary_a", 100, "the device that exists"),
        Row("findings.panel-room.limit", 75, "225 A less 150 A"),
        Row("findings.panel-fault-rating.severity", "stop", "30 kA on a 22 kA panel, NEC 110.9"),
    ),
    "motors_dip": (
        Row("demand.kva_required", 56.7, "3 · 42 A (NEC Table 430.250) and a quarter of one"),
        Row("demand.basis", "heat", "the dip asks for 41.6 kVA only"),
        Row("pick.kva", 75, SERIES),
    ),
    "high_leg_mix": (
        Row("pick.arrangement", "high leg", "mid-tapped delta asked"),
        Row("demand.kva_with_growth", 39, "36 + 2 · 1.5 kVA"),
    ),
    "own_units": (
        Row("pick.units", 3, "each its own"),
        Row("pick.kva", 10, "single-phase series"),
        Row("currents.primary_load_a", 18.75, "9 kVA / 480 V"),
        Row("currents.line_load_a", [32.5, 32.5, 32.5], "18.75 A · 1.732"),
    ),
    "k_insisted": (
        Row("pick.k_rating", 13, "insisted"),
        Row("pick.sound_limit_db", 53, LOUD),
        Row("pick.rise_k", 115, "insisted"),
        Row("demand.k_factor", 4.17, "by hand from the four orders"),
        Row("currents.neutral_load_a", 160, "3 · sqrt(0.33² + 0.11²) / 1.0885 of 166.5 A"),
    ),
    "hazardous": (Row("findings.hazardous.severity", "stop", "NEC 501.100"),),
    "zigzag": (Row("verdict", "refused", "zig-zag grounds a system; this one is grounded"),),
    "boost": (
        Row("pick.arrangement", "buck-boost", "208 to 240 V, no neutral"),
        Row("pick.buck_boost.through_kva", 7.2, "the load"),
        Row("pick.enclosure", "encapsulated", EPRACTICE + ": small and damp"),
    ),
}
