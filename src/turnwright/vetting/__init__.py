"""Does a unit that exists, or that is offered, do a job: the evaluation of `select` with that unit."""

from turnwright.vetting.records import Criterion, Vetting
from turnwright.vetting.stock import IN_FULL, vet_stock
from turnwright.vetting.stock_list import (
    StockList,
    load_stock,
    load_stock_list,
    read_stock,
    read_stock_list,
)
from turnwright.vetting.stock_records import StockFit, StockVetting
from turnwright.vetting.vet import vet

__all__ = [
    "IN_FULL",
    "Criterion",
    "StockFit",
    "StockList",
    "StockVetting",
    "Vetting",
    "load_stock",
    "load_stock_list",
    "read_stock",
    "read_stock_list",
    "vet",
    "vet_stock",
]
