"""The volts of the examples of Canada."""

from turnwright.regimes.common.rules.volts import Volts

VOLTS = Volts(
    supply="600Y/347",
    supply_v=600.0,
    wye="208Y/120",
    delta="240 3ph",
    single="120 1ph",
    low="208Y/120",
    high="600 3ph",
    off="480 3ph",
)
