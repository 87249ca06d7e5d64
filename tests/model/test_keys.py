"""The list of keys and the records must say the same."""

from typing import Any, get_args

import pytest

import turnwright.model
from turnwright.intake import read_value
from turnwright.model import job
from turnwright.model.keys import JOB_TABLES, UNIT_TABLES, Key, key_of
from turnwright.quantities import KINDS, UNKNOWN, Quantity

RECORDS = {
    "supply": job.Supply,
    "load": job.Load,
    "load.duty": job.Duty,
    "site": job.Site,
    "site.room": job.Room,
    "circuit": job.Circuit,
    "choices": job.Choices,
    "offer": job.Nameplate,
    "unit": job.Nameplate,
}
TABLES = {**JOB_TABLES, "unit": UNIT_TABLES["unit"]}
KEYS = [pytest.param(table, key, id=f"{table}.{key.name}") for table, keys in TABLES.items() for key in keys]
NOT_QUANTITIES = {
    "system", "word", "words", "yes/no", "text", "edition", "date", "layout", "count", "frequencies",
    "start current", "spectrum", "table", "lines", "voltage list", "device list", "tap list",
}  # fmt: skip


def from_toml(sample: str) -> object:
    """A sample is what stands behind the equals sign, texts without their quotes."""
    import tomllib

    try:
        return tomllib.loads(f"x = {sample}")["x"]
    except tomllib.TOMLDecodeError:
        return sample


@pytest.mark.parametrize("table", RECORDS)
def test_fields_of_the_record_are_the_keys_of_the_table(table: str) -> None:
    assert RECORDS[table].__struct_fields__ == tuple(key.name for key in TABLES[table])


def test_fields_of_the_job_are_its_keys_and_tables() -> None:
    tables = tuple(name for name in JOB_TABLES if name and "." not in name)
    keys = tuple(key.name for key in JOB_TABLES[""])
    assert set(job.Job.__struct_fields__) == {*keys, *tables, "origin", "lines"}


@pytest.mark.parametrize(("table", "key"), KEYS)
def test_a_kind_is_a_kind_of_quantity_or_has_a_reader(table: str, key: Key) -> None:
    assert key.kind in KINDS or key.kind in NOT_QUANTITIES
    assert bool(key.words) == (key.kind in ("word", "words", "lines"))
    assert len(set(key.words)) == len(key.words)


@pytest.mark.parametrize(("table", "key"), [each for each in KEYS if each.values[1].kind != "table"])
def test_the_sample_is_legal(table: str, key: Key) -> None:
    value: Any = read_value(key, from_toml(key.sample), key.name)
    assert value is not None
    if key.kind in KINDS:
        assert value.form == "exact"


SINGLE = [each for each in KEYS if each.values[1].bare and each.values[1].kind in (*KINDS, "start current")]


@pytest.mark.parametrize(("table", "key"), SINGLE)
def test_a_bare_number_has_the_unit_of_the_sample(table: str, key: Key) -> None:
    with_unit = read_value(key, key.sample, key.name)
    bare = read_value(key, float(key.sample.split()[0]), key.name)
    assert (bare.kind, bare.low) == (with_unit.kind, with_unit.low)


FACTS = [each for each in KEYS if each.values[1].kind not in ("text", "layout", "table")]


@pytest.mark.parametrize(("table", "key"), FACTS)
def test_unknown_is_legal_for_every_quantity_system_word_and_yes_or_no(table: str, key: Key) -> None:
    found: Any = read_value(key, "unknown", key.name)
    if key.kind in KINDS:
        assert found.form == "unknown"
    elif isinstance(found, tuple):
        assert [each.form for each in found] == ["unknown"]
    elif isinstance(found, Quantity):
        assert found.form == "unknown"
    else:
        assert found is UNKNOWN


def test_limits_run_upward() -> None:
    for keys in TABLES.values():
        for key in keys:
            if key.least is not None and key.most is not None:
                assert key.least < key.most


def test_a_key_stands_once_in_its_table() -> None:
    for keys in TABLES.values():
        names = [key.name for key in keys]
        assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("load[0].current", "current"),
        ("load[12].duty.on", "percent"),
        ("site.room.width", "length"),
        ("title", "text"),
        ("load[0].colour", None),
        ("", None),
    ],
)
def test_key_of_a_path(path: str, kind: str | None) -> None:
    found = key_of(path)
    assert (found.kind if found else None) == kind


def test_every_name_of_the_package_is_there() -> None:
    for name in turnwright.model.__all__:
        assert getattr(turnwright.model, name) is not None
    with pytest.raises(AttributeError, match="no attribute 'Jobs'"):
        turnwright.model.Jobs  # noqa: B018


def test_cautious_side_is_one_of_three() -> None:
    sides = set(get_args(Key.__annotations__["cautious"])) or {"high", "low", ""}
    assert all(key.cautious in sides for keys in TABLES.values() for key in keys)
