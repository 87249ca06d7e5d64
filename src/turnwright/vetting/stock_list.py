"""A list of units on hand: what each row says, and the rows and columns that cannot be used."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from msgspec import Struct

from turnwright.errors import InputError, UnknownKey, nearest
from turnwright.intake import unit_from_mapping
from turnwright.intake.list_file import ListFile, ListRow, list_of, load_list
from turnwright.model.job import Nameplate
from turnwright.model.result import Finding
from turnwright.model.unit_keys import UNIT
from turnwright.quantities.spelling import named, quoted

KEYS = tuple(key.name for key in UNIT)
NEEDED = ("kva", "primary", "secondary")
_FIX = "Write a head with the columns unit, kva, primary, secondary, impedance, price, quantity and more."


class StockRow(Struct, frozen=True, kw_only=True):
    """One unit of a list, or several alike; row: its number in the file, None where it comes from no file."""

    name: str
    plate: Nameplate
    row: int | None = None


class Unread(Struct, frozen=True, kw_only=True):
    """A row that cannot be used: where, and why."""

    name: str
    row: int
    column: str | None
    error: InputError


class StockList(Struct, frozen=True, kw_only=True):
    """The units of a list, the rows that cannot be used, the columns that no nameplate has, and what else is odd."""

    origin: str
    rows: tuple[StockRow, ...]
    unread: tuple[Unread, ...] = ()
    unknown: tuple[UnknownKey, ...] = ()
    findings: tuple[Finding, ...] = ()

    def __iter__(self) -> Iterator[Nameplate]:
        return (row.plate for row in self.rows)


def load_stock_list(path: str | Path) -> StockList:
    """Return the units of a CSV or XLSX file with the keys of a nameplate as columns, and `unit` for their names.

    A row or a column that cannot be used is kept apart and told; the rest goes on.

    Raises:
        InputError: the file cannot be used at all.
        MissingExtra: FILE-12 where XLSX files cannot be read.
    """
    listed = load_list(path, "stock list")
    found = _stock_of(listed)
    lacks = [key for key in NEEDED if key not in _keys(listed)]
    if lacks:
        what = f"there is no column {lacks[0]}; the columns are: {named(listed.columns)}."
        raise InputError("FILE-10", listed.name, what, _FIX)
    return found


def load_stock(path: str | Path) -> tuple[Nameplate, ...]:
    """Return the units of a list, each of which has to be usable.

    Raises:
        InputError: it cannot be read, or a row or column cannot be used; it is named.
    """
    return _all_of(_stock_of(load_list(path, "stock list")))


def read_stock(text: str, origin: str = "stock list") -> tuple[Nameplate, ...]:
    """Return the units of a list in CSV, each of which has to be usable.

    Example:
        >>> (unit,) = read_stock("unit,kva,primary,secondary\\nT-1,75,480 delta,208Y/120\\n")
        >>> unit.unit, unit.kva.value
        ('T-1', 75.0)
    """
    return _all_of(read_stock_list(text, origin))


def read_stock_list(
    text: str, origin: str = "stock list", columns: Mapping[str, str] | None = None
) -> StockList:
    """Return the units of a list in CSV, with what cannot be used kept apart.

    columns : column -> key of a nameplate; columns that are not in it are left out. None: as the head says
    """
    listed = list_of(text, origin)
    return _stock_of(listed) if columns is None else _stock_of(_as_meant(listed, columns))


def _as_meant(listed: ListFile, columns: Mapping[str, str]) -> ListFile:
    """The list with the keys in place of its own heads."""
    rows = tuple(
        row._replace(cells={columns[head]: cell for head, cell in row.cells.items() if head in columns})
        for row in listed.rows
    )
    return listed._replace(
        columns=tuple(columns[head] for head in listed.columns if head in columns), rows=rows
    )


def _all_of(found: StockList) -> tuple[Nameplate, ...]:
    for error in (*found.unknown, *(one.error for one in found.unread)):
        raise error
    return tuple(found)


def key_of_column(column: str) -> str:
    """Return the key a column means: "K rating" is k_rating."""
    return column.casefold().replace(" ", "_").replace("-", "_")


def _keys(listed: ListFile) -> dict[str, str]:
    """Key of a nameplate -> the column that holds it."""
    return {key_of_column(column): column for column in listed.columns if key_of_column(column) in KEYS}


def _stock_of(listed: ListFile) -> StockList:
    if not listed.rows:
        raise InputError("JOB-05", listed.name, "there is no unit in the list.", _FIX)
    keys = _keys(listed)
    rows: list[StockRow] = []
    unread: list[Unread] = []
    for row in listed.rows:
        read = _row(row, keys, listed.name)
        rows.append(read) if isinstance(read, StockRow) else unread.append(read)
    unknown = tuple(_unknown(column, listed.name) for column in listed.columns if _is_unknown(column, keys))
    return StockList(
        origin=listed.name,
        rows=tuple(rows),
        unread=tuple(unread),
        unknown=unknown,
        findings=(*(_left_out(each) for each in unknown), *_twice(rows)),
    )


def _is_unknown(column: str, keys: dict[str, str]) -> bool:
    return bool(column) and column not in keys.values()


def _unknown(column: str, name: str) -> UnknownKey:
    near = nearest(key_of_column(column), KEYS)
    hint = f'Did you mean "{near}"? ' if near else ""
    known = f"{hint}Known here: {', '.join(KEYS)}."
    return UnknownKey("JOB-01", name, f"{quoted(column)} is not a column of a list of units.", known)


def _left_out(error: UnknownKey) -> Finding:
    hint = error.fix.partition("Known here")[0].strip()
    message = f"{error.what} It was left out. {hint}".strip()
    return Finding(code="unknown-column", severity="caution", message=message, known="given")


def _twice(rows: list[StockRow]) -> Iterator[Finding]:
    seen: dict[str, list[int]] = {}
    for row in rows:
        if row.row is not None and row.plate.unit:
            seen.setdefault(row.name, []).append(row.row)
    several = {name: numbers for name, numbers in seen.items() if len(numbers) > 1}
    if several:
        name, numbers = next(iter(several.items()))
        more = f", and {len(several) - 1} more names like that" if len(several) > 1 else ""
        yield Finding(
            code="name-twice",
            severity="caution",
            message=(
                f"{quoted(name)} stands in rows {', '.join(str(each) for each in numbers[:5])}{more}: each row was "
                "judged as a unit of its own. If they are one and the same, what is on hand was counted twice."
            ),
            known="given",
        )


def _row(row: ListRow, keys: dict[str, str], origin: str) -> StockRow | Unread:
    where = f"{origin}, row {row.number}"
    values = {key: row.cells.get(column, "") for key, column in keys.items()}
    name = values.get("unit") or f"row {row.number}"
    if row.beyond:
        fix = "Quote texts with commas."
        error = InputError("FILE-08", where, "it has more cells than columns.", fix)
        return Unread(name=name, row=row.number, column=None, error=error)
    try:
        return StockRow(name=name, plate=unit_from_mapping(values, where), row=row.number)
    except InputError as error:
        key = error.where.removeprefix(where).strip(", ").partition("[")[0]
        return Unread(name=name, row=row.number, column=keys.get(key), error=error)
