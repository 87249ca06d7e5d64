"""One circuit in the form of a circuit file, solved by the OpenDSS engine (pip install dss-python).

A bank whose vector group the engine has of its own becomes one three-phase element of it, so that its own logic of
delta and wye is what is compared with; every other core is a single-phase element between any two nodes of one bus.
"""

import re

from dss import DSS

OWN = {
    "Dyn1": ("delta", "wye", "lag"),
    "Dyn11": ("delta", "wye", "lead"),
    "YNyn0": ("wye", "wye", "lag"),
    "Yd1": ("wye", "delta", "lag"),
    "Yd11": ("wye", "delta", "lead"),
    "YNd1": ("wye", "delta", "lag"),
    "YNd11": ("wye", "delta", "lead"),
    "Dd0": ("delta", "delta", "lag"),
}


class Deck:
    """The commands of one circuit at one order, and where its results are to be read."""

    def __init__(self, case: dict, order: int) -> None:
        self.case, self.order, self.inputs = case, order, case["inputs"]
        self.nodes = {"0": 0}
        self.commands = ["clear", f"set defaultbasefrequency={self.inputs['frequency_hz']}"]
        self.reads: dict[str, tuple[str, int, int]] = {}
        for at, source in enumerate(self.inputs["sources"]):
            self.source(source, first=at == 0)
        own = {bank["name"]: bank["own"] for bank in case.get("engine_banks", [])}
        for name, bank in own.items():
            self.bank(name, bank)
        for unit in self.inputs["transformer_units"]:
            if unit["bank"] not in own:
                self.unit(unit)
        for z in self.inputs["impedances"]:
            self.impedance(z)
        for load in case.get("constant_power_loads", []):
            self.load(load)
        for draw in self.inputs.get("harmonic_current_draws", []):
            if draw["harmonic"] == order:
                self.draw(draw)
        hz = self.inputs["frequency_hz"] * order
        mode = "snapshot" if case.get("constant_power_loads") else "direct"
        self.commands += [
            "set controlmode=off",
            "set tolerance=1e-14",
            "set maxiterations=400",
            f"set frequency={hz}",
            f"set mode={mode}",
            "solve",
        ]

    def bus(self, *names: str) -> str:
        return "b" + "".join(f".{self.nodes.setdefault(name, len(self.nodes))}" for name in names)

    @staticmethod
    def word(name: str) -> str:
        return re.sub(r"\W", "_", name)

    def source(self, s: dict, first: bool) -> None:
        hz = self.inputs["frequency_hz"]
        on = 1 if self.order == 1 else 1e-12
        if s["phases"] == 3:
            volts, angle, z0 = s["line_to_line_v"], s["phase_1_to_earth_angle_deg"], s["z0_ohm"]
        else:
            volts, angle, z0 = s["voltage_v"], s["angle_deg"], s["z1_ohm"]
        head = "new circuit.c" if first else f"new vsource.{s['name']}"
        star = "" if "not earthed" not in s["connection"] else f"bus2={self.bus(*[s['name'] + '.star'] * 3)} "
        self.commands.append(
            f"{head} phases={s['phases']} bus1={self.bus(*s['nodes'])} {star}basekv={volts / 1e3:.15g} pu={on} "
            f"angle={angle} frequency={hz * self.order} basefreq={hz} R1={s['z1_ohm'][0]:.15g} "
            f"X1={s['z1_ohm'][1]:.15g} R0={z0[0]:.15g} X0={z0[1]:.15g}"
        )
        element = "vsource." + ("source" if first else s["name"])
        for k, node in enumerate(s["nodes"]):
            self.reads[f"{s['name']}:{node}"] = (element, k, -1)

    def bank(self, name: str, b: dict) -> None:
        one, two, lead = OWN[b["group"]]
        primary = self.bus(*b["primary"], *([b["primary_star"]] if one == "wye" else []))
        secondary = self.bus(*b["secondary"], *([b["secondary_star"]] if two == "wye" else []))
        self.commands.append(
            f"new transformer.{name} phases=3 windings=2 buses=({primary} {secondary}) conns=({one} {two}) "
            f"LeadLag={lead} kVs=({b['primary_v'] / 1e3:.15g} {b['secondary_v'] / 1e3:.15g}) "
            f"kVAs=({b['kva']} {b['kva']}) %Rs=({b['percent_r'] / 2} {b['percent_r'] / 2}) xhl={b['percent_x']} "
            f"%noloadloss={b['noload']} %imag={b['magnetizing']} ppm_antifloat=0"
        )
        for winding in (1, 2):
            for k in range(3):
                self.reads[f"{name}.{k + 1}.w{winding}"] = (f"winding:{name}", k, winding)

    def unit(self, u: dict) -> None:
        windings = u["windings"]
        count = len(windings)
        name = self.word(u["name"])
        pairs = [u["percent_x"][f"{i}-{j}"] for i in range(1, count) for j in range(i + 1, count + 1)]
        self.commands.append(
            f"new transformer.{name} phases=1 windings={count} "
            f"buses=({' '.join(self.bus(w['dot'], w['other']) for w in windings)}) conns=({'wye ' * count}) "
            f"kVs=({' '.join(format(w['rated_v'] / 1e3, '.15g') for w in windings)}) "
            f"kVAs=({' '.join([format(u['kva_base'], '.15g')] * count)}) "
            f"%Rs=({' '.join(format(w['percent_r'], '.15g') for w in windings)}) "
            f"Xscarray=({' '.join(format(x, '.15g') for x in pairs)}) "
            f"%noloadloss={u['noload_loss_percent']} %imag={u['magnetizing_percent']} ppm_antifloat=0"
        )
        for k in range(1, count + 1):
            self.reads[f"{u['name']}.w{k}"] = (f"winding:{name}", 0, k)

    def impedance(self, z: dict) -> None:
        self.commands.append(
            f"new reactor.{self.word(z['name'])} phases=1 bus1={self.bus(z['from'])} bus2={self.bus(z['to'])} "
            f"R={z['r_ohm']:.15g} X={z['x_ohm']:.15g}"
        )
        self.reads[z["name"]] = (f"reactor.{self.word(z['name'])}", 0, 1)

    def load(self, p: dict) -> None:
        self.commands.append(
            f"new load.{self.word(p['name'])} phases=1 bus1={self.bus(p['from'], p['to'])} kv={p['near_v'] / 1e3} "
            f"kw={p['power_w'] / 1e3:.15g} kvar={p['reactive_var'] / 1e3:.15g} model=1 vminpu=0.05 vmaxpu=5"
        )
        self.reads[p["name"]] = (f"load.{self.word(p['name'])}", 0, 1)

    def draw(self, j: dict) -> None:
        # the engine's source pushes current into its first bus
        self.commands.append(
            f"new isource.{self.word(j['name'])} phases=1 bus1={self.bus(j['from'])} bus2={self.bus(j['to'])} "
            f"amps={j['amps']:.15g} angle={j['angle_deg'] + 180:.15g} "
            f"frequency={self.inputs['frequency_hz'] * self.order}"
        )


def solve(case: dict, order: int = 1) -> dict[str, dict[str, complex]]:
    """Return node voltages and currents; the no-load branch is within the current of winding 2."""
    deck = Deck(case, order)
    for command in deck.commands:
        DSS.Text.Command = command
    circuit = DSS.ActiveCircuit
    if not circuit.Solution.Converged:
        raise RuntimeError(f"{case['id']} does not converge")
    flat = circuit.AllBusVolts
    volts = {name: complex(flat[2 * k], flat[2 * k + 1]) for k, name in enumerate(circuit.AllNodeNames)}
    currents = {}
    for name, (element, k, item) in deck.reads.items():
        if element.startswith("winding:"):
            circuit.Transformers.Name = element.removeprefix("winding:")
            values = circuit.Transformers.WdgCurrents
            at = 4 * (k * circuit.Transformers.NumWindings + item - 1)
            currents[name] = complex(values[at], values[at + 1])
        else:
            circuit.SetActiveElement(element)
            values = circuit.ActiveCktElement.Currents
            currents[name] = complex(values[2 * k], values[2 * k + 1]) * item
    nodes = {name: volts[f"b.{at}"] for name, at in deck.nodes.items() if at}
    return {"node_voltages_to_earth_v": nodes, "currents_a": currents}
