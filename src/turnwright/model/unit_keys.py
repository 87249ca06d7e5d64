"""Every key of a nameplate, once; see `keys.py`."""

from __future__ import annotations

from turnwright.model.key import NOTE, SCHEMA, TITLE, Key

RISE = Key(
    "rise",
    "temperature difference",
    "average winding temperature rise",
    "150 K",
    "",
    "K",
    least=20.0,
    most=250.0,
)
WINDING = Key("winding", "word", "metal of the windings", "aluminum", words=("aluminum", "copper"))
P_ECR = Key("p_ecr", "per unit", "winding eddy loss per unit of I²R at rated load", "0.08", "high", most=5.0)

UNIT = (
    Key("unit", "text", "name of the unit", "T-14"),
    Key("kva", "apparent power", "rated kVA", "75 kVA", "low", "kVA", zero=False),
    Key("primary", "system", "winding on the supply side as built", "480 delta"),
    Key("secondary", "system", "winding on the load side as built", "208Y/120"),
    Key("frequency", "frequencies", "rated frequency", "60 Hz", bare="Hz", least=10.0, most=1000.0),
    Key("impedance", "percent", "impedance", "4.2 %", "", "%", most=50.0, zero=False),
    Key("resistance", "percent", "resistance of the windings", "2.6 %", "", "%", most=50.0, zero=False),
    RISE,
    WINDING,
    Key("k_rating", "number", "K rating", "1", "low", least=1.0, most=100.0),
    Key(
        "insulation",
        "temperature",
        "temperature class of the insulation system",
        "220 degC",
        "low",
        "degC",
        least=80.0,
        most=300.0,
    ),
    Key("no_load_loss", "real power", "no-load loss", "350 W", "high", "W", zero=False),
    Key("load_loss", "real power", "load loss at rated load", "1950 W", "high", "W", zero=False),
    Key(
        "load_loss_at",
        "temperature",
        "temperature of the stated load loss",
        "170 degC",
        "",
        "degC",
        least=-60.0,
        most=300.0,
    ),
    P_ECR,
    Key(
        "time_constant",
        "time",
        "thermal time constant of the winding",
        "1.5 h",
        "",
        "h",
        most=864000.0,
        zero=False,
    ),
    Key(
        "taps",
        "tap list",
        "taps of the supply-side winding",
        '["+2.5 %", "0 %", "-2.5 %"]',
        bare="%",
        least=-30.0,
        most=30.0,
    ),
    Key(
        "built_as",
        "word",
        "direction it was built for",
        "step-down",
        words=("step-down", "step-up", "either"),
    ),
    Key(
        "enclosure",
        "word",
        "enclosure",
        "ventilated",
        words=("ventilated", "nonventilated", "encapsulated", "cast", "open"),
    ),
    Key("outdoor", "yes/no", "built for outdoors", "false"),
    Key("sound", "sound", "average sound level", "50 dB", "high", "dB", most=120.0),
    Key("mass", "mass", "mass", "250 kg", "high", "kg", zero=False),
    Key("manufactured", "date", "date of manufacture", "2011"),
    Key("price", "money", "price", "4100 USD", "high", "USD"),
    Key("quantity", "count", "number on hand", "2", "low", most=100000.0),
    NOTE,
)

UNIT_TABLES: dict[str, tuple[Key, ...]] = {"": (SCHEMA, TITLE, NOTE), "unit": UNIT}
