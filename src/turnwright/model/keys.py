"""Every key of the job file, once: its kind, what it means, a sample, its cautious side, its limits.

The reader, the pages, `--help` and the documentation all read this list; a test holds it against the records.
"""

from __future__ import annotations

import re

from turnwright.model.key import NOTE, SCHEMA, TITLE, Key, Side
from turnwright.model.load_keys import DUTY, LOAD
from turnwright.model.unit_keys import P_ECR, RISE, UNIT, UNIT_TABLES, WINDING

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
        "altitude_rule",
        "word",
        "published rule that derates for altitude",
        "most severe",
        words=("most severe", "slope", "steeper slope", "rise limit"),
    ),
    Key(
        "ambient_rule",
        "word",
        "published rule that derates for a warm place",
        "most severe",
        words=("most severe", "constant hot spot", "guide slope", "trade rule"),
    ),
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
    Key(
        "classified",
        "word",
        "hazardous place: class and division, or zone",
        "class I division 2",
        words=(
            "class I division 1",
            "class I division 2",
            "class II division 1",
            "class II division 2",
            "class III",
            "zone 0",
            "zone 1",
            "zone 2",
            "zone 20",
            "zone 21",
            "zone 22",
        ),
    ),
    Key(
        "seismic",
        "word",
        "seismic design category of the building, or how strong the earthquakes are that are designed for",
        "D",
        words=("A", "B", "C", "D", "E", "F", "none", "low", "moderate", "high"),
    ),
    Key(
        "seismic_g",
        "number",
        "short-period design acceleration of g: S_DS (us), S(0.2) with the site (ca), a_g S (iec)",
        "0.8",
        "high",
        most=10.0,
        zero=False,
    ),
    Key("essential", "yes/no", "has to work after an earthquake: hospital, fire brigade", "true"),
    Key(
        "way_in_width",
        "length",
        "narrowest door, corridor or lift on the way in",
        "0.9 m",
        "low",
        "m",
        most=1000.0,
        zero=False,
    ),
    Key(
        "way_in_height",
        "length",
        "lowest door, corridor or lift on the way in",
        "2 m",
        "low",
        "m",
        most=1000.0,
        zero=False,
    ),
    Key(
        "way_in_mass",
        "mass",
        "heaviest piece that lift, hoist or floor on the way in carries",
        "1000 kg",
        "low",
        "kg",
        zero=False,
    ),
    Key("floor_load", "floor load", "what the floor carries", "5 kPa", "low", "kPa", zero=False),
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
    RISE,
    WINDING,
    Key("impedance", "percent", "impedance of the transformer", "3.8 %", "", "%", most=50.0, zero=False),
    Key("resistance", "percent", "resistance of the windings", "1.5 %", "", "%", most=50.0, zero=False),
    P_ECR,
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
    Key("years", "number", "years over which losses are counted", "20", zero=False, most=100.0),
    Key("discount", "percent", "yearly interest on money that is saved later", "8 %", most=100.0),
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
    "offer": UNIT,
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
