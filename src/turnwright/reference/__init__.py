"""Every table of a standard, a law or the trade as data with provenance, and the one way to read it.

    load("nec_310_16").at("2023").row(size="4/0 AWG").number("cu_75c_a")

The tables are CSV files in `data`. `sources.csv` says for each source, edition by edition, where its values
were read and how they are known; `columns.csv` and `tables.csv` describe what stands in them.
"""

from turnwright.reference.loader import describe, digest, load, load_text, table_names
from turnwright.reference.lookup import (
    all_at_least,
    circular_mils,
    first_at_least,
    from_below,
    in_band,
    last_at_most,
    over_through,
)
from turnwright.reference.records import Column, Description, Source
from turnwright.reference.row import Row
from turnwright.reference.table import EditionTable, Table

__all__ = [
    "Column",
    "Description",
    "EditionTable",
    "Row",
    "Source",
    "Table",
    "all_at_least",
    "circular_mils",
    "describe",
    "digest",
    "first_at_least",
    "from_below",
    "in_band",
    "last_at_most",
    "load",
    "load_text",
    "over_through",
    "table_names",
]
