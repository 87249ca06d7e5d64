"""Requests in words: what is found, what is never made up, what is listed as not read."""

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.ask.reading.request import LONGEST, read_request
from turnwright.intake import read_value
from turnwright.model.keys import key_of

LEAST_FOUND, MOST_WRONG = 0.80, 0.05
WORDS = [
    "480",
    "V",
    "208Y/120",
    "120/240",
    "3-phase",
    "single",
    "phase",
    "need",
    "supply",
    "from",
    "to",
    "kVA",
    "45",
    "22",
    "kW",
    "15",
    "hp",
    "two",
    "each",
    "amps",
    "about",
    "30",
    "%",
    "growth",
    "duty",
    "power",
    "factor",
    "0.85",
    "neutral",
    "no",
    "with",
    "delta",
    "corner",
    "grounded",
    "fault",
    "18",
    "kA",
    "panel",
    "400",
    "A",
    "60",
    "ft",
    "ceiling",
    "roof",
    ",",
    ".",
    ";",
    "?",
    "(",
    ")",
    "-",
    "/",
    "x",
    "~",
    "50/60",
    "Hz",
    "5th",
    "35",
    "motors",
    "kiln",
    "welder",
    "continuous",
    "2026-03-04",
    "555-0142",
    "$4800",
    "Ω",
    "漢",
    "3N~",
    "7-1/2",
    "1,200",
]


@pytest.mark.parametrize(
    "name",
    [
        "known",
        "tuned",
        "second",
        "third",
        "eleventh",
        "twelfth",
        "thirteenth",
        "fourteenth",
        "fifteenth",
        "sixteenth",
    ],
)
def test_nothing_wrong_and_next_to_nothing_missed(name: str, judged: Callable[[str], Any]) -> None:
    score = judged(name)
    assert score.wrong == []
    assert score.recall >= 0.99, score.missed


@pytest.mark.parametrize(
    "name", ["held_out", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"]
)
def test_requests_that_no_rule_was_made_for(name: str, judged: Callable[[str], Any]) -> None:
    score = judged(name)
    assert score.recall >= LEAST_FOUND, score.missed
    assert score.wrong_share <= MOST_WRONG, score.wrong


def test_every_fact_points_at_its_words_and_has_a_value_that_its_key_takes(all_requests: list[Any]) -> None:
    for request in all_requests:
        for fact in read_request(request.text).facts:
            assert request.text[fact.start : fact.end] == fact.words != ""
            key = key_of(fact.key)
            if key is not None:
                read_value(key, fact.value, fact.key)


def test_what_was_not_read_is_listed_in_the_words_of_the_request() -> None:
    text = "480 V supply. The mayor's cat likes the warm lid. 22 kVA of lights at 208Y/120."
    assert "The mayor's cat likes the warm lid" in read_request(text).unread


@pytest.mark.parametrize(
    ("text", "key", "words"),
    [
        ("The pump says 15 HP, 230/460 V, 3 phase.", "load[0].system", "230/460 V"),
        ("New oven 240/120 V, 9 kW. Supply 480Y/277.", "load[0].system", "240/120 V"),
        ("We need 240 V 1ph for an oven. It is 9 kW, supply could be 480 V.", "supply.system", "480 V"),
        ("From 480 V. No wait, our supply is 600 V. Load 9 kVA at 208Y/120.", "supply.system", "600 V"),
        ("Supply 4160 V three-phase, need 480 V for 45 kVA.", "supply.system", "4160 V"),
    ],
)
def test_ambiguous_words_become_a_question(text: str, key: str, words: str) -> None:
    read = read_request(text)
    assert key not in {fact.key for fact in read.facts}
    assert any(one.key == key and words in one.words for one in read.questions), read.questions


@pytest.mark.parametrize(
    "text",
    [
        "",
        "   \n\n",
        "PO 480-2231, call 208-555-0120 or +1 480 555 0188 before 3 pm, budget $4,800, room 208, 2026-05-01.",
        "Ich hätte gern einen Kaffee. Merci beaucoup, à bientôt.",
        "Article 480, page 208, drawing E-277, SKU TX480208, 12 of 240 pieces shipped on 4/8/2024.",
    ],
)
def test_figures_that_are_no_facts(text: str) -> None:
    assert read_request(text).facts == ()


@pytest.mark.parametrize(
    ("text", "key", "value"),
    [
        ("Thre pahse 480 V suply feeds a 22 kVA load at 208Y/120.", "supply.system", "480 3ph"),
        ("load 12,5 kW at 208 V, from 480 V", "load[0].kw", "12.5 kW"),
        ("from 480 V, load 1,200 A at 208Y/120", "load[0].current", "1200 A"),
        ("a 7-1/2 hp 208 V three phase fan off our 480", "load[0].hp", "7.5 hp"),
        ("from 480 V feed 208Y/120, between 30 and 40 kVA", "load[0].kva", "30..40 kVA"),
        ("from 480 V feed 208Y/120, roughly 60 amps", "load[0].current", "about 60 A"),
        (
            "four eighty three phase in, twenty two kVA at one twenty two oh eight",
            "load[0].system",
            "208Y/120",
        ),
        ("feeding from 480, 12 heaters of 5 kW at 277 V", "load[0].quantity", "12"),
        ("3 heaters at 208 V, 15 kW in all, from 480 V", "load[0].kw", "15 kW"),
        ("480 V supply, winters of -30 C, 22 kVA at 208Y/120", "site.ambient_lowest", "-30 degC"),
    ],
)
def test_the_ways_people_write(text: str, key: str, value: str) -> None:
    read = {fact.key: fact.value for fact in read_request(text).facts}
    assert read.get(key) == value, read


def test_a_total_is_not_multiplied() -> None:
    read = {
        fact.key: fact.value for fact in read_request("3 heaters at 208 V, 15 kW in all, from 480 V").facts
    }
    assert "load[0].quantity" not in read


def test_a_denial_is_not_read_as_its_opposite() -> None:
    read = {
        fact.key: fact.value for fact in read_request("From 480 V: 9 kVA at 208Y/120, not continuous.").facts
    }
    assert read["load[0].continuous"] is False


@given(st.lists(st.sampled_from(WORDS), max_size=60).map(" ".join) | st.text(max_size=200))
def test_any_text_is_read_without_a_fall_and_with_usable_facts(text: str) -> None:
    read = read_request(text)
    assert read == read_request(text)
    for fact in read.facts:
        assert 0 <= fact.start < fact.end <= len(text) and text[fact.start : fact.end] == fact.words
        key = key_of(fact.key)
        if key is not None:
            read_value(key, fact.value, fact.key)


@pytest.mark.parametrize(
    "piece", ["480 V ", "45 kVA, ", "(", "growth ", "1", "a@", "-", "480\n", "from our 480 to 208 "]
)
def test_of_a_megabyte_it_says_what_it_left(piece: str) -> None:
    text = piece * (1_000_000 // len(piece))
    read = read_request(text)
    assert f"{len(text) - LONGEST} characters more" in read.unread[-1]


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("From 480 V to 208Y/120, 9 kVA. Buck-boost won't work I guess?", "choices.arrangement"),
        ("Autotransformer or isolation, 480 to 240 three phase, 9 kVA?", "choices.arrangement"),
        ("I'm on the roof till noon. 480 V supply, 9 kVA at 208Y/120.", "site.place"),
        ("7.5 hp dust collector, 460 V, from 208Y/120.", "site.conditions"),
        ("Project subject: 480 V supply, 9 kVA at 208Y/120.", "load[0].kind"),
        ("Panel LP3A, 480 V supply, 9 kVA at 208Y/120.", "load[0].current"),
        ("30 kW heat pump at 460 V, supply 208Y/120.", "load[0].kind"),
        ("Do not use aluminum windings. 480 V to 208Y/120, 9 kVA load.", "choices.winding"),
        ("Aluminum windings not allowed. 480 V to 208Y/120, 9 kVA load.", "choices.winding"),
        ("We do not want an autotransformer. 480 V to 240 V, 9 kVA.", "choices.arrangement"),
        ("Hall height 14 m. 480 V to 208Y/120, 9 kVA load.", "site.altitude"),
        ("The 480 V side sees 5 % drop already. Load 100 A at 208 V.", "load[0].regulation_limit"),
        ("The machine is 80 ft from the panel. 480 V supply, 9 kVA at 208Y/120.", "circuit.primary_length"),
        ("Load incl. 25 % growth is 104 kVA. 480Y/277 to 208Y/120.", "choices.growth"),
        ("Utility transformer 500 kVA, 5.75 %Z, 480Y/277. Load 30 kVA at 208Y/120.", "choices.impedance"),
        ("The oven was made in Ontario. 480 V supply, 9 kVA at 208Y/120.", "regime"),
        ("Generator 150 kW for backup only. Normal supply 480Y/277, 9 kVA at 208Y/120.", "supply.source"),
        (
            "Welder 75 kVA at 460 V, 50% duty on the plate, used at 12 percent duty, from 208Y/120.",
            "load[0].duty.on",
        ),
    ],
)
def test_what_only_looks_like_a_fact(text: str, key: str) -> None:
    assert key not in {fact.key for fact in read_request(text).facts}


@pytest.mark.parametrize(
    ("text", "sizes"),
    [
        ("Our neighbor runs a 75 kVA. We'd have 52 kVA at 208Y/120, from 480 V.", {"load[0].kva": "52 kVA"}),
        ("Not 30 kVA, it is 40 kVA. 480 V to 208Y/120.", {"load[0].kva": "40 kVA"}),
        ("12 kVA now, 20 kVA after the expansion. 480 V to 208Y/120.", {"load[0].kva": "12 kVA"}),
        ("We considered a 75 kVA but it does not fit. Load 50 kVA, 480 to 208Y/120.", {"load[0].kva": "50 kVA"}),
        ("60 kW connected, of which 20 kW is heating. 480 to 208Y/120.", {"load[0].kw": "60 kW"}),
        ("From 480 V: lights 5 kVA, sockets 8 kVA, total 13 kVA at 208Y/120.",
         {"load[0].kva": "5 kVA", "load[1].kva": "8 kVA"}),
        ("From 480 V: hoist 30 kW, trolley 4 kW, simultaneous max 28 kVA at 400 V.", {"load[0].kva": "28 kVA"}),
        ("Compressor 50 hp, only 30 kW is ever drawn. 460 V. Building 208Y/120.", {"load[0].hp": "50 hp"}),
        ("Chiller 20.5 kW (cooling capacity 65 kW), 400 V. Site 480 V.", {"load[0].kw": "20.5 kW"}),
        ("We need 400 V for a 125 kW furnace... sorry, 12.5 kW. Supply 480.", {"load[0].kw": "12.5 kW"}),
        ("20 hp grinder at 240 V. 480 is from bus duct with a 60 A plug.", {"load[0].hp": "20 hp"}),
        ("New 240 V oven, 9 kW. The 15 hp blower at 460 V stays on the 480. Supply 480Y/277.", {"load[0].kw": "9 kW"}),
        ("We will add 10 kW of heaters in 2031 but not now. Now 18 kW at 240 V from 480.", {"load[0].kw": "18 kW"}),
        ("30 kVA at 208Y/120 from 480 V for trailers, six at 5 kVA.", {"load[0].kva": "5 kVA"}),
        ("Power the 25 hp 575 V crusher from a 480 V service. Crusher pulls 27 A.", {"load[0].hp": "25 hp"}),
        ("The bookkeeper says 30 kVA, the seller says 45 kVA. 480 to 208Y/120.", {}),
    ],
)  # fmt: skip
def test_only_what_is_said_of_this_job_is_a_load(text: str, sizes: dict[str, str]) -> None:
    read = {fact.key: fact.value for fact in read_request(text).facts}
    assert {key: read[key] for key in read if key.endswith((".kva", ".kw", ".hp", ".current"))} == sizes


@pytest.mark.parametrize(
    ("text", "ends"),
    [
        ("Panel to transformer 60 ft, new panel right beside it, say 8 ft.", {"primary": "60 ft", "secondary": "8 ft"}),
        ("8 ft of wire between transformer and panelboard.", {"secondary": "8 ft"}),
        ("Distance board to TX 30 m, TX to crane 15 m.", {"primary": "30 m", "secondary": "15 m"}),
        ("The kiln sits 40 ft from the main panel.", {}),
        ("Transformer 20 ft from the service, machine 100 ft from the transformer.",
         {"primary": "20 ft", "secondary": "100 ft"}),
    ],
)  # fmt: skip
def test_a_run_is_known_by_its_ends(text: str, ends: dict[str, str]) -> None:
    read = {fact.key: fact.value for fact in read_request(text).facts}
    assert {key: read[key] for key in read if key.endswith("_length")} == {
        f"circuit.{side}_length": length for side, length in ends.items()
    }


def test_two_places_that_cannot_both_hold_are_a_question() -> None:
    read = read_request("He said put it on the roof, I want it in the basement. 480 V to 208Y/120, 9 kVA.")
    assert "site.place" not in {fact.key for fact in read.facts}
    assert "site.place" in {one.key for one in read.questions}


def test_a_list_of_sizes_shares_the_unit_behind_its_last() -> None:
    read = {
        fact.key: fact.value
        for fact in read_request("From 480 V: motors 230 V 3 phase, 10, 7.5 and 5 hp.").facts
    }
    assert [read.get(f"load[{n}].hp") for n in range(3)] == ["10 hp", "7.5 hp", "5 hp"]


@pytest.mark.parametrize(
    ("text", "of_job"),
    [
        ("I own a 112.5 kVA 480-208Y/120. Building is 208Y/120, machine 480 V 3-phase 80 A.", False),
        (
            "Existing transformer: 150 kVA, 480 V delta / 208Y/120, 5.75 %Z, 1998. Load is 210 A at 208 V.",
            True,
        ),
    ],
)
def test_the_nameplate_of_a_unit_is_not_a_load(text: str, of_job: bool) -> None:
    read = {fact.key: fact.value for fact in read_request(text).facts}
    assert {"unit.kva", "unit.primary", "unit.secondary"} <= set(read)
    assert "load[0].kva" not in read and ("unit.impedance" in read) == of_job
