"""The volts of the examples of the IEC world."""

from turnwright.regimes.common.rules.volts import Volts

VOLTS = Volts(
    supply="690Y/400",
    supply_v=690.0,
    wye="400Y/230",
    delta="275 3ph",
    single="230 1ph",
    low="400Y/230",
    high="690 3ph",
    off="600 3ph",
)
