"""The writer of job files: what it writes is read back the same by the library's TOML reader and by ours."""

import tomllib

from hypothesis import given
from hypothesis import strategies as st

from turnwright.ask.job_text import Line, job_text, one_size, quoted_text, toml_value
from turnwright.intake import key_lines, read_job, read_unit
from turnwright.model.keys import JOB_TABLES

FACTS = [
    Line("title", "Tile works"),
    Line("supply.system", "480Y/277", '"our 480Y/277"'),
    Line("supply.measured", ["478 V", "481 V", "476 V"]),
    Line("load[0].name", "mixer"),
    Line("load[0].system", "208 3ph"),
    Line("load[0].hp", "15 hp"),
    Line("load[0].quantity", "2"),
    Line("load[0].power_factor", "0.85"),
    Line("load[1].system", "208Y/120"),
    Line("load[1].kva", "about 9 kVA"),
    Line("load[1].harmonics", {3: "45 %", 5: "about 25 %"}),
    Line("load[1].duty.on", "10 %", '"10 % duty"'),
    Line("load[1].duty.period", "60 s"),
    Line("load[1].continuous", False),
    Line("site.room.length", "4 m"),
    Line("site.conditions", ["dust", "damp"]),
    Line("choices.growth", "unknown"),
]


def test_facts_come_back_as_they_went_in() -> None:
    text = job_text(FACTS, head=["head"], foot=["ask: which edition?"])
    data = tomllib.loads(text)
    assert data["supply"] == {"system": "480Y/277", "measured": ["478 V", "481 V", "476 V"]}
    assert data["load"][0]["quantity"] == 2 and data["load"][0]["power_factor"] == 0.85
    assert data["load"][1]["duty"] == {"on": "10 %", "period": "60 s"}
    assert data["load"][1]["harmonics"] == {"3": 45, "5": "about 25 %"}
    assert data["site"] == {"conditions": ["dust", "damp"], "room": {"length": "4 m"}}
    job = read_job(text)
    assert job.load[0].hp is not None and job.load[0].hp.value == 15.0
    assert text.startswith("# head\nschema = 1\n") and text.endswith("# ask: which edition?\n")
    assert 'system = "480Y/277"            # "our 480Y/277"' in text


def test_the_same_facts_in_any_order_give_the_same_bytes() -> None:
    assert job_text(FACTS) == job_text(FACTS[::-1])


def test_a_job_has_a_load_even_when_nothing_is_known_of_it() -> None:
    assert "[[load]]" in job_text([])
    assert len(read_job(job_text([])).load) == 1


def test_a_unit_has_a_file_of_its_own() -> None:
    text = job_text([Line("unit.kva", "75 kVA"), Line("unit.primary", "480 delta")], tables="unit")
    (unit,) = read_unit(text)
    assert unit.kva is not None and unit.kva.value == 75.0


def test_every_key_of_the_job_file_can_be_written() -> None:
    for table, keys in JOB_TABLES.items():
        for key in keys:
            if key.kind in ("layout", "table"):
                continue
            heads = {"": "", "load": "load[0].", "load.duty": "load[0].duty.", "offer": "offer[0]."}
            prefix = heads.get(table, f"{table}.")
            sample = tomllib.loads(f"value = {key.sample}")["value"] if key.sample[:1] in "{[" else key.sample
            assert prefix + key.name in key_lines(job_text([Line(prefix + key.name, sample)])), key.name


@given(st.text(max_size=80), st.text(max_size=40))
def test_any_text_and_remark_stay_inside_their_line(text: str, remark: str) -> None:
    written = job_text([Line("note", text, remark), Line("supply.system", "480")], head=[remark], foot=[text])
    data = tomllib.loads(written)
    assert set(data) == {"schema", "note", "supply", "load"}
    kept = "".join(letter for letter in text if letter.isprintable())
    assert all(letter in data["note"] for letter in kept)


def test_one_size_of_a_load_takes_the_place_of_another() -> None:
    lines = [Line("load[0].kva", "9 kVA"), Line("load[1].kva", "3 kVA"), Line("load[0].name", "oven")]
    assert [line.path for line in one_size(lines, "load[0].kw")] == ["load[1].kva", "load[0].name"]
    assert one_size(lines, "load[0].name") == lines[:2]


def test_plain_numbers_stand_bare_only_where_no_unit_belongs() -> None:
    assert toml_value("2", "count") == "2" and toml_value("about 3", "count") == '"about 3"'
    assert toml_value("22", "apparent power") == '"22"'
    assert quoted_text('say "22\\"') == '"say \\"22\\\\\\""'
