"""What can stand between a supply and its loads, and why the others cannot."""

from turnwright.arrangements.isolation import ISOLATION
from turnwright.arrangements.limits import Impossible, impossible
from turnwright.arrangements.outputs import offers, same_volts, shared_outputs, takes
from turnwright.arrangements.proposal import Arrangement, NominalSystem, NotServed, Proposal

ARRANGEMENTS: tuple[Arrangement, ...] = (ISOLATION,)

__all__ = [
    "ARRANGEMENTS",
    "Arrangement",
    "Impossible",
    "NominalSystem",
    "NotServed",
    "Proposal",
    "impossible",
    "offers",
    "same_volts",
    "shared_outputs",
    "takes",
]
