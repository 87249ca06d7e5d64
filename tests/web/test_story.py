"""The story of a job leads back to every text before, and never grows without end."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from turnwright.web.job.story import (
    MOST_CHARACTERS,
    MOST_TURNS,
    Turn,
    back,
    grown,
    read_story,
    with_moved,
    written_story,
)

TEXTS = st.lists(st.text(max_size=60), min_size=2, max_size=8)


@given(TEXTS)
def test_every_text_before_can_be_had_back(texts: list[str]) -> None:
    story = ()
    for before, after in pairwise(texts):
        story = grown(story, "said", before, after)
    again = read_story(written_story(story))
    assert again == story
    assert [back(again, number, texts[-1]) for number in range(len(again))] == texts[:-1]


def test_what_it_moved_stands_with_the_last_turn() -> None:
    story = with_moved(grown(grown((), "one", "a", "b"), "two", "b", "c"), "The size stays.")
    assert [turn.moved for turn in story] == ["", "The size stays."]
    assert with_moved((), "nothing") == ()


def test_it_is_bounded_in_turns_and_in_length() -> None:
    story = ()
    for number in range(3 * MOST_TURNS):
        story = grown(story, f"turn {number}", "a", "b")
    assert len(story) == MOST_TURNS
    for number in range(10):
        story = grown(story, f"long {number}", "x" * 5000, "")
    assert len(written_story(story)) <= MOST_CHARACTERS
    assert story[-1].said == "long 9"


def test_what_somebody_made_up_leads_nowhere() -> None:
    for text in (
        "",
        "[]",
        "{}",
        "[[1]]",
        '[["a","b",-1,2,"c"]]',
        '[["a","b",0,99,"c"]]',
        "[" * 9000,
        "x" * 99_999,
    ):
        story = read_story(text)
        assert back(story, 0, "text") in (None, "text")
    assert back((Turn("a", "", 0, 1, "b"),), 1, "text") is None
    assert back((Turn("a", "", 0, 1, "b"),), -1, "text") is None
