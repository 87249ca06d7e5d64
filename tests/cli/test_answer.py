"""The page of `select`: what stands on it, in which order, and what must never happen to it."""

import re
from types import ModuleType

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.cli.text.answer import answer_page, example_name, heading
from turnwright.cli.text.layout import WIDTH, Ink, columns_of
from turnwright.documents.words.phrases import (
    answer_sentences,
    clause_words,
    key_words,
    moves_words,
    unit_words,
    volts,
)
from turnwright.model.result import Finding, Question

NAMES = ("SELECTED", "REFUSED", "NEEDS_INPUT")


def order(page: str, *texts: str) -> list[int]:
    places = [page.find(text) for text in texts]
    assert -1 not in places, [text for text in texts if text not in page]
    return places


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("show_all", [False, True])
def test_no_line_is_wider_than_the_page_nor_ends_in_spaces(
    samples: ModuleType, name: str, show_all: bool
) -> None:
    page = answer_page(getattr(samples, name), "job.toml", show_all)
    assert all(columns_of(line) <= WIDTH and line == line.rstrip() for line in page.splitlines())
    assert page.endswith("\n") and not page.endswith("\n\n")


@pytest.mark.parametrize("name", NAMES)
def test_colour_changes_no_letter(samples: ModuleType, name: str) -> None:
    result = getattr(samples, name)
    coloured = answer_page(result, "job.toml", False, Ink(True))
    assert "\x1b[" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == answer_page(result, "job.toml")


@pytest.mark.parametrize("name", NAMES)
def test_the_caution_stands_once(samples: ModuleType, name: str) -> None:
    assert answer_page(getattr(samples, name), "job.toml").count("licensed electrician") == 1


def test_answer_first_then_numbers_then_decide_then_ask_then_why(samples: ModuleType) -> None:
    places = order(
        answer_page(samples.SELECTED, "job.toml"),
        "NEC 2023 · tables 9f2c41",
        "One three-phase 300 kVA unit, 480 V delta to 208Y/120, ventilated, 150 K rise.",
        "264 kVA with growth (88 %)",
        "450 A breaker before it,\n  1000 A after it.",
        "300 to 500 kVA possible",
        "supply side           load side",
        "480Y/277 V 4-wire",
        "450 A (≤ 800)         1000 A (≤ 1200)",
        "2 × 4/0 AWG Cu        3 × 400 kcmil Cu",
        "30.0 kA               15.8 kA",
        "system bonding jumper",
        "at most 1039 W of losses",
        "other sizes",
        "225 kVA  118 %",
        "500 kVA   53 %     fits; inside the usual",
        "other ways",
        "not allowed; the load needs",
        "stop     –",
        "decide   88 %",
        "note     Bond",
        "assumed  frequency 60 Hz · load 1 power factor 0.85",
        "ask next What power factor is on the nameplate? The size moves between 300 and",
        "why: turnwright explain job.toml currents.primary_rated_a",
    )
    assert places == sorted(places)


def test_load_current_is_shown_up_and_law_limit_down(samples: ModuleType) -> None:
    page = answer_page(samples.SELECTED, "job.toml")
    assert "317.6 A" in page  # 317.54 A
    assert "at most 1039 W" in page  # 1039.9 W


def test_the_picked_size_is_not_among_the_others(samples: ModuleType) -> None:
    assert "the smallest that carries it" not in answer_page(samples.SELECTED, "job.toml", True)


def test_a_refusal_says_so_then_why_then_what_would_work_complete(samples: ModuleType) -> None:
    page = answer_page(samples.REFUSED, "job.toml")
    places = order(
        page,
        "No transformer does this job as it is given.",
        "stop     Two lines",
        "instead  A phase converter.",
        "instead  Run the pieces single-phase.",
        "One three-phase 300 kVA unit",
        "supply side",
        "and also A small unit",
        "why: turnwright explain job.toml 'instead[1].currents.primary_rated_a'",
    )
    assert places == sorted(places)
    assert page.count("supply side") == 2


def test_needs_input_says_what_is_missing_and_why(samples: ModuleType) -> None:
    page = answer_page(samples.NEEDS_INPUT, "job.toml")
    assert "Not enough is known yet" in page
    assert "ask      How many amperes" in page and "Without a size of" in page
    assert "stop" not in page and "why: turnwright" not in page


def test_needs_input_shows_the_range_where_there_is_one(samples: ModuleType) -> None:
    result = msgspec.structs.replace(samples.NEEDS_INPUT, range_kva=(45.0, 75.0))
    assert "leaves 45 to 75 kVA possible" in answer_page(result, "job.toml")


def test_many_findings_are_counted_and_all_shows_them(samples: ModuleType) -> None:
    notes = tuple(
        Finding(code=f"note-{n}", severity="note", message=f"Remark {n}.", known="seen") for n in range(8)
    )
    result = msgspec.structs.replace(samples.SELECTED, findings=notes)
    short, whole = answer_page(result, "job.toml"), answer_page(result, "job.toml", True)
    assert "… 5 more: --all" in short and "Remark 3." not in short
    assert all(f"Remark {n}." in whole for n in range(8)) and "--all" not in whole


def test_no_stop_is_ever_hidden(samples: ModuleType) -> None:
    stops = tuple(
        Finding(code=f"stop-{n}", severity="stop", message=f"Stop {n}.", known="seen") for n in range(40)
    )
    page = answer_page(msgspec.structs.replace(samples.REFUSED, findings=stops), "job.toml")
    assert all(f"Stop {n}." in page for n in range(40))


def test_all_gives_the_reason_of_each_assumption(samples: ModuleType) -> None:
    assert "load 1 power factor 0.85: usual for kW loads" in answer_page(samples.SELECTED, "job.toml", True)


def test_same_result_same_page(samples: ModuleType) -> None:
    assert answer_page(samples.SELECTED, "job.toml") == answer_page(samples.SELECTED, "job.toml")


@given(title=st.text(max_size=300))
def test_a_title_cannot_break_the_page(samples: ModuleType, title: str) -> None:
    result = msgspec.structs.replace(
        samples.SELECTED, job={"title": title, "regime": "us", "edition": "2023"}
    )
    lines = heading(result)
    assert all(columns_of(line) <= WIDTH and line.isprintable() for line in lines)


def test_own_units_are_told_with_their_lines(samples: ModuleType) -> None:
    first, second, *_ = answer_sentences(samples.OWN_UNITS)
    assert first.startswith(
        "Four single-phase 5 kVA units, one for each piece, on lines AB (2), BC, CA, 480 V to 120/240"
    )
    assert second.startswith("Each carries")


def test_buck_boost_tells_windings_and_output(samples: ModuleType) -> None:
    assert unit_words(samples.BUCK_BOOST.pick).startswith(
        "One single-phase 0.25 kVA unit connected as an autotransformer, windings 240 V and 24 V, 228.8 V out"
    )


@pytest.mark.parametrize(
    ("arrangement", "words"),
    [
        ("bank", "Three single-phase 300 kVA units as one three-phase bank"),
        ("open delta", "Three single-phase 300 kVA units in open delta"),
        ("something new", "Three three-phase 300 kVA something new units"),
    ],
)
def test_arrangements_in_words(samples: ModuleType, arrangement: str, words: str) -> None:
    pick = msgspec.structs.replace(samples.BLOCKS.pick, arrangement=arrangement, units=3)
    assert unit_words(pick).startswith(words)


def test_what_sets_the_size_is_said_unless_it_is_heat(samples: ModuleType) -> None:
    demand = msgspec.structs.replace(samples.BLOCKS.demand, basis="dip")
    sentences = answer_sentences(msgspec.structs.replace(samples.BLOCKS, demand=demand))
    assert "The voltage dip at motor start sets the size." in sentences
    assert not any("sets the size" in sentence for sentence in answer_sentences(samples.BLOCKS))


def test_several_devices_after_the_unit(samples: ModuleType) -> None:
    protection = msgspec.structs.replace(
        samples.BLOCKS.protection, secondary_a=250.0, secondary_devices_a=(150.0, 100.0), kind="fuse"
    )
    result = msgspec.structs.replace(
        samples.SELECTED, blocks=msgspec.structs.replace(samples.BLOCKS, protection=protection)
    )
    page = answer_page(result, "job.toml")
    assert "450 A fuses before it, 150 A and 100 A after it." in " ".join(page.split())
    assert "150 A + 100 A" in page


def test_primary_device_alone_is_held_against_its_own_limit(samples: ModuleType) -> None:
    protection = msgspec.structs.replace(samples.BLOCKS.protection, secondary_a=None, secondary_devices_a=())
    result = msgspec.structs.replace(
        samples.SELECTED, blocks=msgspec.structs.replace(samples.BLOCKS, protection=protection)
    )
    assert "450 A (≤ 500)" in answer_page(result, "job.toml")


@pytest.mark.parametrize(
    ("clause", "known", "words"),
    [
        ("NEC 450.3(B)", "seen", "NEC 450.3(B)"),
        ("NEC 450.3(B)", "memory", "NEC 450.3(B), from memory"),
        (None, "common practice", "common practice"),
        (None, "computed", ""),
    ],
)
def test_where_a_finding_comes_from(clause: str | None, known: str, words: str) -> None:
    assert clause_words(Finding(code="x", severity="note", message="x", clause=clause, known=known)) == words


@pytest.mark.parametrize(
    ("moves", "words"),
    [
        ({}, "Because."),
        ({"kva": [300, 300]}, "The size stays at 300 kVA."),
        ({"kva": [300, 500.0]}, "The size moves between 300 and 500 kVA."),
        ({"protection.primary_a": [400, 450]}, "The device before it moves between 400 and 450 A."),
        ({"possibilities": ["480 3ph", "480Y/277"]}, "It could be 480 3ph, 480Y/277."),
        ({"verdict": "refused"}, "verdict: refused."),
    ],
)
def test_what_an_answer_would_move(moves: dict[str, object], words: str) -> None:
    assert moves_words(Question(key="x", ask="?", why="Because.", moves=moves)) == words


def test_keys_and_volts_in_words() -> None:
    assert key_words("load[2].duty.on") == "load 3 duty on"
    assert volts("240 delta corner") == "240 V delta corner"
    assert volts("not a system") == "not a system"


def test_nothing_to_explain_without_a_unit(samples: ModuleType) -> None:
    assert example_name(samples.NEEDS_INPUT) is None
