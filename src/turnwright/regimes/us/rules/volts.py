"""The volts of the examples of the United States."""

from turnwright.regimes.common.rules.volts import Volts

VOLTS = Volts(
    supply="480Y/277",
    supply_v=480.0,
    wye="208Y/120",
    delta="240 3ph",
    single="120 1ph",
    low="208Y/120",
    high="480 3ph",
    off="600 3ph",
)
