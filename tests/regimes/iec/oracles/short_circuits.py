"""Short circuits behind a delta-wye unit by IEC 60909, computed with pandapower 3.5.6: `python short_circuits.py`.

Writes data/short_circuits.json. The voltage factor is that of 10 % tolerance; pandapower also corrects the impedance
of the transformer by K_T = 0.95 c / (1 + 0.6 x), which is told beside each case.
"""

import json
import warnings
from math import sqrt
from pathlib import Path

FIELDS = ("kva", "primary_v", "secondary_v", "resistance_pct", "reactance_pct", "supply_ka", "x_over_r")
CASES = [
    dict(zip(FIELDS, values, strict=True))
    for values in (
        (63.0, 400.0, 208.0, 2.4, 3.2, 10.0, 6.0),
        (160.0, 690.0, 400.0, 1.5, 3.6, 25.0, 4.0),
        (25.0, 400.0, 400.0, 3.0, 2.0, 3.0, 2.0),
        (400.0, 690.0, 230.0, 1.2, 4.8, 50.0, 10.0),
    )
]
TOLERANCE_PCT = 10


def solved(case: dict[str, float]) -> dict[str, float]:
    """Return three-phase and line-to-earth fault current at the secondary terminals [A], and K_T."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import pandapower as pp
        import pandapower.shortcircuit as sc

    net = pp.create_empty_network(f_hz=50)
    high = pp.create_bus(net, case["primary_v"] / 1e3)
    low = pp.create_bus(net, case["secondary_v"] / 1e3)
    supply_mva = sqrt(3) * case["primary_v"] * case["supply_ka"] / 1e3
    ratio = 1 / case["x_over_r"]
    pp.create_ext_grid(net, high, s_sc_max_mva=supply_mva, rx_max=ratio, x0x_max=1.0, r0x0_max=ratio)
    size = sqrt(case["resistance_pct"] ** 2 + case["reactance_pct"] ** 2)
    pp.create_transformer_from_parameters(
        net,
        high,
        low,
        case["kva"] / 1e3,
        case["primary_v"] / 1e3,
        case["secondary_v"] / 1e3,
        vkr_percent=case["resistance_pct"],
        vk_percent=size,
        pfe_kw=0.0,
        i0_percent=0.0,
        shift_degree=330,
        vector_group="Dyn",
        vk0_percent=size,
        vkr0_percent=case["resistance_pct"],
        mag0_percent=1e8,
        mag0_rx=0.0,
        si0_hv_partial=0.9,
    )
    found = {}
    for kind, name in (("3ph", "three_phase_a"), ("1ph", "line_earth_a")):
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of its own use of a table library
            sc.calc_sc(net, fault=kind, case="max", lv_tol_percent=TOLERANCE_PCT, bus=low)
        found[name] = float(net.res_bus_sc.ikss_ka.at[low]) * 1e3
    found["k_t"] = 0.95 * 1.1 / (1 + 0.6 * case["reactance_pct"] / 100)
    return found


if __name__ == "__main__":
    out = Path(__file__).parents[1] / "data" / "short_circuits.json"
    answers = [{"case": case, "pandapower": solved(case)} for case in CASES]
    out.write_text(
        json.dumps({"made_with": "pandapower 3.5.6", "answers": answers}, indent=1) + "\n", "utf-8"
    )
