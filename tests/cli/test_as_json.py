"""The JSON of a result: one structure, every key there, nothing that JSON has no form for."""

import json
from types import ModuleType
from typing import Any

import msgspec
import pytest

from turnwright.model.as_json import BLOCKS, dumps, plain, result_to_json
from turnwright.model.result import Blocks
from turnwright.working import Number, Step, Word

TOP = [
    "schema",
    "verdict",
    "pick",
    "options",
    "demand",
    "currents",
    "protection",
    "conductors",
    "grounding",
    "fault",
    "voltage",
    "efficiency",
    "findings",
    "questions",
    "range",
    "instead",
    "also",
    "working",
    "tool",
    "job",
]
CURRENTS = [
    "primary_rated_a",
    "secondary_rated_a",
    "primary_load_a",
    "secondary_load_a",
    "neutral_load_a",
    "line_load_a",
]


def test_blocks_are_those_of_the_record() -> None:
    assert ("pick", *BLOCKS) == Blocks.__struct_fields__


def test_every_block_record_is_the_declared_one() -> None:
    declared = {field.name: field.type for field in msgspec.structs.fields(Blocks)}
    assert {name: declared[name] for name in BLOCKS} == BLOCKS


def test_keys_of_a_selected_result_in_their_order(samples: ModuleType) -> None:
    tree = samples.SELECTED.to_json()
    assert list(tree) == TOP
    assert list(tree["currents"]) == CURRENTS
    assert tree["schema"] == 1
    assert tree["range"] == {"kva": [300.0, 500.0]}
    assert tree["currents"]["line_load_a"] == [317.5426480542942] * 3
    assert tree["conductors"]["neutral"]["raceway"] is None


@pytest.mark.parametrize("name", ["REFUSED", "NEEDS_INPUT"])
def test_without_a_pick_no_key_is_missing(samples: ModuleType, name: str) -> None:
    tree, full = getattr(samples, name).to_json(), samples.SELECTED.to_json()
    assert list(tree) == TOP
    assert tree["pick"] is None
    assert tree["range"] == {"kva": None}
    for block in BLOCKS:
        assert list(tree[block]) == list(full[block])
        assert set(tree[block].values()) == {None}


def test_alternatives_hold_the_same_blocks_when_they_have_a_pick(samples: ModuleType) -> None:
    converter, single = samples.REFUSED.to_json()["instead"]
    assert converter == {
        "what": converter["what"],
        "why": converter["why"],
        "pick": None,
        "findings": [],
        "also": [],
    }
    assert list(single) == ["what", "why", "pick", *BLOCKS, "findings", "also"]
    assert single["pick"]["kva"] == 300.0
    assert single["also"][0]["currents"] == single["currents"]


def test_working_lines_use_the_words_with_and_from(samples: ModuleType) -> None:
    line = samples.SELECTED.to_json()["working"][2]
    assert list(line) == ["name", "formula", "with", "from", "value", "unit", "source", "known"]
    assert line["from"]["current_a"] == "load[0].current"


def test_numbers_that_know_their_step_become_plain(samples: ModuleType) -> None:
    number = Number(300.0, Step("pick.kva", 300.0))
    word = Word("480 delta", Step("pick.primary", "480 delta"))
    pick = msgspec.structs.replace(samples.BLOCKS.pick, kva=number, primary=word)
    result = msgspec.structs.replace(
        samples.SELECTED, blocks=msgspec.structs.replace(samples.BLOCKS, pick=pick)
    )
    tree = result.to_json()["pick"]
    assert type(tree["kva"]) is float and type(tree["primary"]) is str


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf")])
def test_a_number_that_is_none_is_a_defect_and_names_its_place(samples: ModuleType, value: float) -> None:
    fault = msgspec.structs.replace(samples.BLOCKS.fault, primary_a=value)
    blocks = msgspec.structs.replace(samples.BLOCKS, fault=fault)
    with pytest.raises(ValueError, match=r"fault\.primary_a is"):
        result_to_json(msgspec.structs.replace(samples.SELECTED, blocks=blocks))


def test_an_infinite_source_is_a_word_in_the_working(samples: ModuleType) -> None:
    line = msgspec.structs.replace(
        samples.WORKING[0], with_={"source_a": float("inf")}, value=(1.0, float("inf"))
    )
    tree = result_to_json(msgspec.structs.replace(samples.SELECTED, working=(line,)))
    assert tree["working"][0]["with"] == {"source_a": "infinite"}
    assert tree["working"][0]["value"] == [1.0, "infinite"]


def test_something_without_a_form_in_json_names_its_place() -> None:
    with pytest.raises(TypeError, match=r"job\.facts\[0\] is"):
        plain({"facts": [object()]}, "job")


def test_text_reads_back_and_is_the_same_each_time(samples: ModuleType) -> None:
    tree: dict[str, Any] = samples.SELECTED.to_json()
    text = dumps(tree)
    assert json.loads(text) == tree
    assert dumps(samples.SELECTED.to_json()) == text
    assert text.endswith("}\n") and "NaN" not in text
