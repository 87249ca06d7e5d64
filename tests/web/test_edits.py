"""A fact written into a job file changes that fact and nothing else."""

import re
import tomllib
from copy import deepcopy

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.errors import InputError
from turnwright.intake import read_job
from turnwright.model.keys import JOB_TABLES, key_of
from turnwright.web.job import edits

WRITTEN = """# what the caller said
title = "Tile works"    # on the phone

[supply]
system = "480Y/277"   # label on the panel

[[load]]
name = "kiln"
kva = "22 kVA"        # nameplate
duty = { on = "10 %", period = "60 s" }

[[load]]
name = "mixer"
current = "15 A"

[site]
place = "indoor"
"""
PATHS = (
    "title",
    "note",
    "edition",
    "supply.system",
    "supply.frequency",
    "load[0].kva",
    "load[0].duty.on",
    "load[1].current",
    "load[1].power_factor",
    "load[1].duty.period",
    "site.place",
    "site.room.length",
    "circuit.primary_length",
    "choices.growth",
)
TEXTS = st.text(
    st.characters(blacklist_categories=("Cs", "Cc"), whitelist_characters="\n\t"), min_size=1, max_size=40
)


def changed(data: dict, path: str, value: object) -> dict:
    """The same tables with one value changed, by another way than the code under test."""
    wanted = deepcopy(data)
    node = wanted
    *above, name = path.replace("[", ".").replace("]", "").split(".")
    for part in above:
        if isinstance(node, list):
            node = node[int(part)]
        else:
            if part not in node and value is None:
                return wanted
            node = node.setdefault(part, {})
    if value is None:
        node.pop(name, None)
    else:
        node[name] = value
    return wanted


@given(st.lists(st.tuples(st.sampled_from(PATHS), st.none() | TEXTS), min_size=1, max_size=5))
def test_edits_change_those_facts_and_nothing_else(found: list[tuple[str, str | None]]) -> None:
    text, wanted = WRITTEN, tomllib.loads(WRITTEN)
    for path, value in found:
        text = edits.put_text(text, path, value)
        wanted = changed(wanted, path, value)
        assert tomllib.loads(text) == wanted


def test_comments_and_order_stay() -> None:
    text = edits.put_text(WRITTEN, "load[1].current", "18 A")
    assert text == WRITTEN.replace('"15 A"', '"18 A"')


def test_a_new_size_takes_the_place_of_the_other() -> None:
    loads = tomllib.loads(edits.put_text(WRITTEN, "load[0].current", "31 A"))["load"]
    assert loads[0]["current"] == "31 A"
    assert "kva" not in loads[0]


@pytest.mark.parametrize(
    "text",
    [
        'supply.system = "480"\nload = [{ kva = 22 }]\n',
        '"supply"."system" = "480"\n[[load]]\n"kva" = 22\n',
        'load = [{ kva = 22 }, { kva = 30 }]\n[supply]\nsystem = "480"\n',
        '[[load]]\nkva = 22\n[supply]\nsystem = "480"\n[[load]]\nkva = 30\n',
    ],
)
def test_other_ways_to_write_toml_can_be_edited(text: str) -> None:
    found = edits.put_text(text, "load[0].power_factor", 0.9)
    assert tomllib.loads(found) == changed(tomllib.loads(text), "load[0].power_factor", 0.9)
    found = edits.put_text(text, "choices.growth", "10 %")
    assert tomllib.loads(found) == changed(tomllib.loads(text), "choices.growth", "10 %")


@given(st.integers(0, 3))
def test_loads_come_and_go(index: int) -> None:
    grown = edits.with_load(WRITTEN)
    assert tomllib.loads(grown)["load"] == [*tomllib.loads(WRITTEN)["load"], {}]
    left = [load for at, load in enumerate(tomllib.loads(grown)["load"]) if at != index]
    assert tomllib.loads(edits.without_load(grown, index))["load"] == left


def test_the_last_load_leaves_an_empty_one() -> None:
    assert tomllib.loads(edits.without_load('[[load]]\nkva = "22 kVA"\n', 0)) == {"load": [{}]}


@pytest.mark.parametrize(
    ("typed", "path"),
    [
        ("150 A", "load[0].current"),
        ("31 kVA", "load[0].kva"),
        ("24 kW", "load[0].kw"),
        ("15 hp", "load[0].hp"),
        ("110..140 A", "load[0].current"),
        ("about 30 kVA", "load[0].kva"),
        ("unknown", "load[0].current"),
    ],
)
def test_the_unit_says_which_size_is_meant(typed: str, path: str) -> None:
    assert edits.meant("load[0].size", typed, {"load": [{}]}) == (path, typed)


@pytest.mark.parametrize("typed", ["150", "12 V", "big"])
def test_a_size_that_is_none_is_refused_with_samples(typed: str) -> None:
    with pytest.raises(InputError) as caught:
        edits.meant("load[0].size", typed, {"load": [{}]})
    assert caught.value.where == "load[0].size"
    assert '"150 A", "31 kVA", "24 kW" or "15 hp"' in caught.value.fix


def test_a_bare_number_keeps_the_size_it_was() -> None:
    assert edits.meant("load[0].size", "30", {"load": [{"kva": 22}]}) == ("load[0].kva", "30")


def test_zero_is_no_size() -> None:
    with pytest.raises(InputError) as caught:
        edits.meant("load[0].size", "0 A", {"load": [{}]})
    assert "zero" in caught.value.what


@pytest.mark.parametrize(
    ("table", "key"), [(table, key) for table, keys in JOB_TABLES.items() for key in keys], ids=str
)
def test_the_sample_of_every_key_can_be_typed(table: str, key) -> None:
    """Each key's own sample, as a person types it, is written so that the reader of job files takes it."""
    if key.kind == "table":
        return
    head = re.sub(r"^(load|offer)", r"\1[0]", table)
    path = f"{head}.{key.name}" if table else key.name
    typed = edits.written(tomllib.loads(f"v = {key.sample}")["v"]) if key.sample[0] in "[{" else key.sample
    found, value = edits.meant(path, typed, {"load": [{}]})
    assert found == path
    before = '[supply]\nsystem = "480"\n[[load]]\nsystem = "208Y/120"\nkva = 22\n[[offer]]\nunit = "A"\n'
    text = edits.put_text(before, path, value)
    assert edits.flat(edits.field_text(tomllib.loads(text), path)) == typed
    assert key_of(path) is key
    if key.name not in ("never_with", "lines"):  # they have to fit the loads beside them
        read_job(text)
