"""The rows of the result: from sums to hours and money, ranked, and written whole or not at all."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any

import msgspec

from turnwright.drafts import draft_of, sync
from turnwright.errors import InputError
from turnwright.fleet.even_steps import HOUR_NS
from turnwright.fleet.records import FleetRow, FleetUnit
from turnwright.fleet.side_file import unwritable
from turnwright.fleet.sums import UnitSums
from turnwright.thermal.ageing import life_used_pct
from turnwright.thermal.cost import yearly_loss_cost

COLUMNS = tuple(field.name for field in msgspec.structs.fields(FleetRow))
SUFFIXES = (".csv", ".parquet")


def rows_of(sums: Iterable[tuple[FleetUnit, UnitSums]], price_kwh: float | None) -> tuple[FleetRow, ...]:
    """Return the rows, the worst first: by life used, then by the highest hot spot, then by name."""
    rows = [_row(unit, each, price_kwh) for unit, each in sums]
    rows.sort(key=lambda row: (-row.life_used_pct, -row.hot_spot_max_c, row.unit))
    return tuple(msgspec.structs.replace(row, rank=rank) for rank, row in enumerate(rows, start=1))


def _row(unit: FleetUnit, sums: UnitSums, price_kwh: float | None) -> FleetRow:
    step_h = sums.step_ns / HOUR_NS
    losses, law = unit.model.losses, unit.model.law
    used = float(sums.ageing * step_h)
    energy = None
    if losses is not None:
        energy = float((sums.load_kw + losses.no_load_w / 1000.0 * sums.steps) * step_h)
    return FleetRow(
        unit=unit.name,
        hot_spot_max_c=float(sums.hottest_c),
        life_used_h=used,
        life_used_pct=float(life_used_pct(used, law.normal_life_h)),
        energy_loss_kwh=energy,
        cost_loss=None if energy is None or price_kwh is None else float(yearly_loss_cost(energy, price_kwh)),
        peak_pu=float(sums.peak_pu),
        overload_h=float(sums.over * step_h),
        hours=float(sums.steps * step_h),
        rank=0,
    )


def check_out(out: Path, inputs: Sequence[Path]) -> None:
    """Refuse a place where the result cannot go, before anything is calculated.

    Raises: InputError FLT-13.
    """
    if out.suffix.lower() not in SUFFIXES:
        fix = f"End its name in {' or '.join(SUFFIXES)}."
        raise InputError("FLT-13", str(out), f'a result cannot be written as "{out.suffix}".', fix)
    if out.is_dir():
        raise InputError("FLT-13", str(out), "this is a folder.", "Name a file.")
    if any(out.exists() and each.exists() and out.samefile(each) for each in inputs):
        raise InputError("FLT-13", str(out), "this is one of the files that are read.", "Name another file.")
    if any(each.is_dir() and out.resolve().parent == each.resolve() for each in inputs):
        what = "this is the folder of the profiles, where the result would be read as one of them."
        raise InputError("FLT-13", str(out), what, "Choose another folder.")
    with whole(out):
        pass


def write_rows(out: Path, rows: Sequence[FleetRow]) -> None:
    """Write the rows beside the place of the result, then put them there in one move.

    Raises: InputError FLT-13 when it cannot be written.
    """
    with whole(out) as draft:
        if out.suffix.lower() == ".csv":
            with draft.open("w", encoding="utf-8", newline="") as file:
                writer = csv.writer(file, lineterminator="\n")
                writer.writerow(COLUMNS)
                writer.writerows([getattr(row, name) for name in COLUMNS] for row in rows)
        else:
            arrow: Any = import_module("pyarrow")
            types = {"unit": arrow.string(), "rank": arrow.int64()}
            schema = arrow.schema([(name, types.get(name, arrow.float64())) for name in COLUMNS])
            table = arrow.table({name: [getattr(row, name) for row in rows] for name in COLUMNS}, schema)
            import_module("pyarrow.parquet").write_table(table, draft)
        sync(draft)
        draft.replace(out)


def read_rows(path: str | Path) -> tuple[FleetRow, ...]:
    """Return the rows of a result that `run_fleet` wrote, in their order.

    Raises: InputError FLT-02 when it cannot be read, or is no such result.
    """
    place = Path(path)
    fix = "Name a file that 'turnwright fleet' wrote."
    try:
        if place.suffix.lower() == ".parquet":
            return msgspec.convert(
                import_module("pyarrow.parquet").read_table(place).to_pylist(), tuple[FleetRow, ...]
            )
        with place.open(encoding="utf-8", newline="") as file:
            read = [{name: cell or None for name, cell in row.items()} for row in csv.DictReader(file)]
        return msgspec.convert(read, tuple[FleetRow, ...], strict=False)
    except (OSError, ValueError) as error:
        what = f"it is no result of a fleet: {' '.join(str(error).split())[:200]}."
        raise InputError("FLT-02", place.name, what, fix) from None


@contextmanager
def whole(out: Path) -> Iterator[Path]:
    """Give a draft beside a place, and leave nothing of it behind.

    Raises: InputError FLT-13 when nothing can be written there.
    """
    try:
        with draft_of(out) as draft:
            yield draft
    except OSError as error:
        raise unwritable(out, error) from None
