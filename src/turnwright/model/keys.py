"""Every key of the job file, once: its kind, what it means, a sample, its cautious side, its limits.

The reader, the pages, `--help` and the documentation all read this list; a test holds it against the records.
"""

from __future__ import annotations

import re

from turnwright.model.key import NOTE, SCHEMA, TITLE, Key, Side
from turnwright.model.unit_keys import UNIT, UNIT_TABLES

__all__ = [
    "CHOICES",
    "CIRCUIT",
    "DUTY",
    "JOB",
    "JOB_TABLES",
    "LOAD",
    "NOTE",
    "ROOM",
    "SITE",
    "SIZE_KEYS",
    "SUPPLY",
    "UNIT",
    "UNIT_TABLES",
    "Key",
    "Side",
    "key_of",
]

JOB = (
    SCHEMA,
    TITLE,
    Key("regime", "word", "whose rules", "us", words=("us", "ca", "iec")),
    Key("edition", "edition", "edition of the installation code", "2023"),
    NOTE,
)

SUPPLY = (
    Key("system", "system", "voltage system of the supply", "480Y/277"),
    Key("frequency", "frequency", "frequency of the supply", "60 Hz", "low", "Hz", least=10.0, most=1000.0),
    Key(
        "grounding",
        "word",
        "how the supply is grounded",
        "solid",
        words=("solid", "resistance", "ungrounded", "corner", "mid-tap"),
    ),
    Key("earthing", "word", "earthing system (iec)", "TN-S", words=("TN-S", "TN-C-S", "TN-C", "TT", "IT")),
    Key(
        "fault_current",
        "current",
        "symmetrical fault current at the supply terminals",
        "30 kA",
        "high",
        "kA",
        zero=False,
    ),
    Key("x_over_r", "number", "X/R of the source", "6", "high", zero=False, most=200.0),
    Key(
        "measured",
        "voltage list",
        "measured volts line to line, one or three",
        '["478 V", "481 V", "476 V"]',
        bare="V",
        zero=False,
    ),
    Key(
        "measured_to_ground",
        "voltage list",
        "measured volts line to ground",
        '["277 V", "278 V", "275 V"]',
        bare="V",
    ),
    Key(
        "source",
        "word",
        "what feeds the supply",
        "utility",
        words=("utility", "generator", "ups", "inverter"),
    ),
    Key(
        "source_kva",
        "apparent power",
        "rating of a source that is not the utility",
        "200 kVA",
        "low",
        "kVA",
        zero=False,
    ),
    Key(
        "source_reactance",
        "percent",
        "subtransient reactance on source_kva",
        "12 %",
        "high",
        "%",
        most=100.0,
        zero=False,
    ),
    Key(
        "panel_rating",
        "current",
        "rating of the panel that feeds the transformer",
        "400 A",
        "low",
        "A",
        zero=False,
    ),
    Key("panel_load", "current", "load that is already on that panel", "250 A", "high", "A"),
    Key(
        "panel_fault_rating",
        "current",
        "short-circuit rating of that panel",
        "22 kA",
        "low",
        "kA",
        zero=False,
    ),
    NOTE,
)

LOAD = (
    Key("name", "text", "name of the load", "irrigation pumps"),
    Key("system", "system", "voltage system the nameplate asks for", "240 3ph"),
    Key("current", "current", "rms current of one piece", "150 A", "high", "A", zero=False),
    Key("kva", "apparent power", "apparent power of one piece", "31 kVA", "high", "kVA", zero=False),
    Key(
        "kw",
        "real power",
        "input power of one piece (shaft power with shaft = true)",
        "24 kW",
        "high",
        "kW",
        zero=False,
    ),
    Key("hp", "motor power", "rated power of a motor", "15 hp", "high", "hp", zero=False),
    Key("power_factor", "per unit", "power factor, lagging", "0.85", "low", most=1.0, zero=False),
    Key("efficiency", "per unit", "efficiency, for kw and hp", "0.93", "low", most=1.0, zero=False),
    Key("shaft", "yes/no", "kw is shaft power", "false"),
    Key("quantity", "count", "number of equal pieces", "1", "high", most=100000.0, zero=False),
    Key(
        "demand_factor",
        "per unit",
        "share of the size that runs at the same time",
        "1.0",
        "high",
        most=2.0,
        zero=False,
    ),
    Key(
        "demand_rule",
        "word",
        "apply the demand factor of the code for this kind of load",
        "receptacles",
        words=("receptacles", "kitchen"),
    ),
    Key("measured_demand", "yes/no", "the size is a metered maximum of what exists", "false"),
    Key("never_with", "text", "name of a load that never runs at the same time", "heaters"),
    Key("continuous", "yes/no", "runs 3 h or more", "true"),
    Key(
        "kind",
        "word",
        "kind of load",
        "general",
        words=(
            "general",
            "heating",
            "lighting",
            "electronics",
            "motor",
            "drive",
            "welder",
            "charger",
            "computing",
            "inverter",
            "lift",
            "imaging",
            "furnace",
        ),
    ),
    Key(
        "frequency",
        "frequencies",
        "frequency it needs, when it differs from the supply",
        "50/60 Hz",
        bare="Hz",
        least=10.0,
        most=1000.0,
    ),
    Key(
        "start",
        "word",
        "how a motor is started",
        "across the line",
        words=("across the line", "soft starter", "drive", "star delta", "part winding"),
    ),
    Key(
        "start_current",
        "start current",
        "starting current, in times the rated one or in amperes",
        "4 x",
        "high",
        "x",
        zero=False,
        most=30.0,
    ),
    Key("locked_rotor_code", "word", "code letter of the nameplate", "G", words=tuple("ABCDEFGHJKLMNPRSTUV")),
    Key(
        "start_dip_limit",
        "percent",
        "largest voltage dip it accepts",
        "12 %",
        "low",
        "%",
        most=100.0,
        zero=False,
    ),
    Key(
        "largest_motor",
        "motor power",
        "largest motor inside a mixed group",
        "7.5 hp",
        "high",
        "hp",
        zero=False,
    ),
    Key(
        "harmonics",
        "spectrum",
        "currents in percent of the fundamental, by order",
        "{ 5 = 30, 7 = 15 }",
        "high",
        "%",
        most=100.0,
    ),
    Key("spectrum", "text", "name in the table of spectra", "drive_6pulse_1pct_z"),
    Key("firing", "word", "thyristor control", "phase angle", words=("phase angle", "burst")),
    Key("duty", "table", "duty cycle: on (percent) and period", '{ on = "10 %", period = "60 s" }'),
    Key(
        "momentary",
        "apparent power",
        "short-time demand beside the long-time one",
        "60 kVA",
        "high",
        "kVA",
        zero=False,
    ),
    Key(
        "regulation_limit",
        "percent",
        "largest voltage drop in the transformer it accepts",
        "4 %",
        "low",
        "%",
        most=100.0,
        zero=False,
    ),
    Key("neutral", "yes/no", "needs a neutral", "true"),
    Key("grounded_wye", "yes/no", "asks for a source with solidly grounded wye", "true"),
    Key("feeds_back", "yes/no", "power flows from it to the supply", "false"),
    Key(
        "lines",
        "lines",
        "fixed lines of the secondary; one letter means line to neutral",
        "AB",
        words=("A", "B", "C", "AB", "BC", "CA"),
    ),
    Key("transformer", "word", "own: each piece gets its own unit", "own", words=("own", "shared")),
    NOTE,
)

DUTY = (
    Key("on", "percent", "share of the period it is on", "10 %", "high", "%", most=100.0, zero=False),
    Key("period", "time", "length of one period", "60 s", "high", "s", zero=False, most=864000.0),
    NOTE,
)

SITE = (
    Key(
        "ambient_average",
        "temperature",
        "average ambient over a day",
        "30 degC",
        "high",
        "degC",
        least=-60.0,
        most=80.0,
    ),
    Key("ambient_peak", "temperature", "highest ambient", "40 degC", "high", "degC", least=-60.0, most=80.0),
    Key("ambient_lowest", "temperature", "lowest ambient", "-10 degC", "low", "degC", least=-90.0, most=80.0),
    Key("altitude", "length", "height above sea level", "900 m", "high", "m", most=9000.0),
    Key(
        "place",
        "word",
        "where the transformer stands",
        "indoor",
        words=("indoor", "outdoor", "roof", "ceiling", "shaft", "vault"),
    ),
    Key("temporary", "yes/no", "building site and the like", "false"),
    Key(
        "conditions",
        "words",
        "what the place is like",
        '["washdown"]',
        words=("dust", "salt", "damp", "washdown", "corrosive", "snow", "hazardous", "quiet", "public"),
    ),
    Key("room", "table", "the room", '{ length = "4 m", width = "3 m", height = "3 m", ventilated = true }'),
    NOTE,
)

ROOM = (
    Key("length", "length", "length of the room", "4 m", "low", "m", most=1000.0, zero=False),
    Key("width", "length", "width of the room", "3 m", "low", "m", most=1000.0, zero=False),
    Key("height", "length", "height of the room", "3 m", "low", "m", most=1000.0, zero=False),
    Key("ventilated", "yes/no", "air is exchanged", "true"),
    NOTE,
)

CIRCUIT = (
    Key(
        "primary_length",
        "length",
        "one-way run from the supply to the transformer",
        "35 ft",
        "high",
        "ft",
        most=20000.0,
    ),
    Key(
        "secondary_length",
        "length",
        "one-way run from the transformer to its first device",
        "12 ft",
        "high",
        "ft",
        most=20000.0,
    ),
    Key("conductor", "word", "metal of the conductors", "copper", words=("copper", "aluminum")),
    Key(
        "terminals",
        "temperature",
        "temperature rating of the terminals",
        "75 degC",
        "low",
        "degC",
        least=40.0,
        most=250.0,
    ),
    Key("raceway", "word", "raceway", "steel", words=("steel", "pvc", "aluminum")),
    Key("installation", "text", "method of IEC 60364-5-52 (iec)", "E"),
    Key("insulation", "word", "conductor insulation (iec)", "XLPE", words=("XLPE", "PVC")),
    Key("device_kind", "word", "kind of overcurrent device", "breaker", words=("breaker", "fuse")),
    Key("primary_device", "current", "primary device that already exists", "125 A", "", "A", zero=False),
    Key(
        "secondary_devices",
        "device list",
        "secondary devices, when several are wanted",
        '["150 A", "100 A"]',
        bare="A",
        zero=False,
    ),
    NOTE,
)

CHOICES = (
    Key("secondary", "system", "voltage system of the secondary", "240 3ph"),
    Key("kva", "apparent power", "must be this size", "30 kVA", "", "kVA", zero=False),
    Key(
        "proposed_kva",
        "apparent power",
        "would this size do? (judged; the pick stays free)",
        "30 kVA",
        "",
        "kVA",
        zero=False,
    ),
    Key("units", "count", "number of units", "1", "high", most=1000.0, zero=False),
    Key("growth", "percent", "growth to allow for", "10 %", "high", "%", most=1000.0),
    Key(
        "rise",
        "temperature difference",
        "average winding temperature rise",
        "150 K",
        "",
        "K",
        least=20.0,
        most=250.0,
    ),
    Key("winding", "word", "metal of the windings", "aluminum", words=("aluminum", "copper")),
    Key("impedance", "percent", "impedance of the transformer", "3.8 %", "", "%", most=50.0, zero=False),
    Key("resistance", "percent", "resistance of the windings", "1.5 %", "", "%", most=50.0, zero=False),
    Key("p_ecr", "per unit", "winding eddy loss per unit of I²R at rated load", "0.08", "high", most=5.0),
    Key("k_rating", "number", "K rating", "4", "", least=1.0, most=100.0),
    Key("shield", "yes/no", "electrostatic shield", "true"),
    Key(
        "arrangement",
        "word",
        "arrangement",
        "isolation",
        words=("isolation", "autotransformer", "buck-boost", "open delta", "zig-zag", "scott"),
    ),
    Key("manufactured", "date", "date of manufacture; decides which efficiency law applies", "2027-05"),
    Key("price_kwh", "energy price", "price of energy", "0.12 USD", "high", "USD"),
    Key("hours_per_year", "number", "hours energized in a year", "8760", "high", most=8784.0),
    NOTE,
)

JOB_TABLES: dict[str, tuple[Key, ...]] = {
    "": JOB,
    "supply": SUPPLY,
    "load": LOAD,
    "load.duty": DUTY,
    "site": SITE,
    "site.room": ROOM,
    "circuit": CIRCUIT,
    "choices": CHOICES,
}
SIZE_KEYS = ("current", "kva", "kw", "hp")

_INDEX = re.compile(r"\[[0-9]+\]")


def key_of(path: str, tables: dict[str, tuple[Key, ...]] = JOB_TABLES) -> Key | None:
    """Return the key at a path of the job file, or None for a path that is no key.

    Example:
        >>> key_of("load[0].current").kind, key_of("site.room.length").cautious, key_of("load[0].colour")
        ('current', 'low', None)
    """
    table, _, name = _INDEX.sub("", path).rpartition(".")
    return next((key for key in tables.get(table, ()) if key.name == name), None)
