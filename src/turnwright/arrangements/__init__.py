"""What can stand between a supply and its loads, and why the others cannot."""

from turnwright.arrangements.autotransformer import AUTOTRANSFORMER
from turnwright.arrangements.buck_boost import BUCK_BOOST
from turnwright.arrangements.high_leg import HIGH_LEG
from turnwright.arrangements.hours import at_hour
from turnwright.arrangements.isolation import ISOLATION
from turnwright.arrangements.limits import Impossible, impossible
from turnwright.arrangements.outputs import offers, same_volts, shared_outputs, takes, winding
from turnwright.arrangements.proposal import Arrangement, Ask, NominalSystem, NotServed, Proposal
from turnwright.arrangements.scott import SCOTT
from turnwright.arrangements.single_units import BANK_OF_THREE, OPEN_DELTA_OF_TWO
from turnwright.arrangements.zigzag import ZIGZAG

ARRANGEMENTS: tuple[Arrangement, ...] = (
    ISOLATION,
    BUCK_BOOST,
    HIGH_LEG,
    AUTOTRANSFORMER,
    BANK_OF_THREE,
    OPEN_DELTA_OF_TWO,
    ZIGZAG,
    SCOTT,
)

__all__ = [
    "ARRANGEMENTS",
    "Arrangement",
    "Ask",
    "Impossible",
    "NominalSystem",
    "NotServed",
    "Proposal",
    "at_hour",
    "impossible",
    "offers",
    "same_volts",
    "shared_outputs",
    "takes",
    "winding",
]
