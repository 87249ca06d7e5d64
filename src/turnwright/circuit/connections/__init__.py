"""Named connections: functions that return cores with their nodes, and the facts a drawing needs."""

from turnwright.circuit.connections.autotransformers import (
    autotransformer,
    autotransformer_wye,
    buck_boost,
    buck_boost_open_delta,
    buck_boost_wye,
)
from turnwright.circuit.connections.connection import Connection, Place, connection, two_windings
from turnwright.circuit.connections.group import Group, read_group
from turnwright.circuit.connections.single_phase import (
    high_leg_delta,
    open_delta,
    single_phase,
    single_phase_three_wire,
    tapped_core,
)
from turnwright.circuit.connections.special import scott, tee, zigzag_earthing
from turnwright.circuit.connections.three_phase import three_phase, three_winding

__all__ = [
    "Connection",
    "Group",
    "Place",
    "autotransformer",
    "autotransformer_wye",
    "buck_boost",
    "buck_boost_open_delta",
    "buck_boost_wye",
    "connection",
    "high_leg_delta",
    "open_delta",
    "read_group",
    "scott",
    "single_phase",
    "single_phase_three_wire",
    "tapped_core",
    "tee",
    "three_phase",
    "three_winding",
    "two_windings",
    "zigzag_earthing",
]
