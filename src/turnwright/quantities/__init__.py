"""Sizes, voltage systems and conductor sizes as people write them: units at the edge, plain floats inside."""

from turnwright.quantities.conductor_size import ConductorSize, parse_conductor_size
from turnwright.quantities.decimals import fixed
from turnwright.quantities.figures import figure, format_quantity
from turnwright.quantities.quantity import Quantity, parse_frequencies, parse_quantity
from turnwright.quantities.units import KINDS, Kind, KindName, Unit, convert, symbols, unit_of
from turnwright.quantities.unknown import UNKNOWN, Unknown, is_unknown
from turnwright.quantities.voltage_system import VoltageSystem, parse_system

__all__ = [
    "KINDS",
    "UNKNOWN",
    "ConductorSize",
    "Kind",
    "KindName",
    "Quantity",
    "Unit",
    "Unknown",
    "VoltageSystem",
    "convert",
    "figure",
    "fixed",
    "format_quantity",
    "is_unknown",
    "parse_conductor_size",
    "parse_frequencies",
    "parse_quantity",
    "parse_system",
    "symbols",
    "unit_of",
]
