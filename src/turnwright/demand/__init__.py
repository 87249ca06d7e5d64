"""What the loads ask of a transformer: per load, in all, phase by phase, with the working recorded."""

from turnwright.demand.motors import MotorColumn, MotorRow, motor_row
from turnwright.demand.picture import demand_of
from turnwright.demand.records import CodeDemand, DemandTables, LoadDemand, LoadPicture, Placement
from turnwright.demand.sum_formulas import design_current_a

__all__ = [
    "CodeDemand",
    "DemandTables",
    "LoadDemand",
    "LoadPicture",
    "MotorColumn",
    "MotorRow",
    "Placement",
    "demand_of",
    "design_current_a",
    "motor_row",
]
