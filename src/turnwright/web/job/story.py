"""The story of a job: each thing that was given, what it moved, and the way back.

It travels in the form, as what turns each text of the job file back into the one before it.
"""

from __future__ import annotations

import msgspec
from msgspec import Struct

MOST_TURNS = 40
MOST_CHARACTERS = 24_000
LONGEST_WORDS = 200


class Turn(Struct, frozen=True, array_like=True):
    """One thing given: in words, what it moved, and the change that takes it back.

    at, cut, put  the text before: that of after, with `put` for the `cut` characters from `at` on
    """

    said: str
    moved: str
    at: int
    cut: int
    put: str


Story = tuple[Turn, ...]


def read_story(text: str) -> Story:
    """Return the story a form carries; an empty one where it carries none that can be read.

    Example:
        >>> read_story('[["growth: 20 %", "", 0, 1, ""]]')[0].said, read_story("nonsense")
        ('growth: 20 %', ())
    """
    if len(text) > 2 * MOST_CHARACTERS:
        return ()
    try:
        turns = msgspec.json.decode(text, type=Story)
    except (msgspec.DecodeError, msgspec.ValidationError, RecursionError):
        return ()
    return turns[-MOST_TURNS:]


def written_story(story: Story) -> str:
    """Return a story as the form carries it."""
    return msgspec.json.encode(story).decode()


def grown(story: Story, said: str, before: str, after: str) -> Story:
    """Return the story with one more turn; its oldest ones fall away where it gets too long.

    Example:
        >>> story = grown((), "growth: 20 %", "a = 1", "a = 2")
        >>> back(story, 0, "a = 2")
        'a = 1'
    """
    start = _same(before, after)
    end = _same(before[start:][::-1], after[start:][::-1])
    turn = Turn(said[:LONGEST_WORDS], "", start, len(after) - end - start, before[start : len(before) - end])
    found = (*story, turn)[-MOST_TURNS:]
    while found and len(written_story(found)) > MOST_CHARACTERS:
        found = found[1:]
    return found


def _same(one: str, other: str) -> int:
    """Return how many characters two texts begin with alike."""
    shorter = min(len(one), len(other))
    return next((at for at in range(shorter) if one[at] != other[at]), shorter)


def with_moved(story: Story, moved: str) -> Story:
    """Return the story whose last turn says what it moved."""
    if not story:
        return story
    last = story[-1]
    return (*story[:-1], Turn(last.said, moved[:LONGEST_WORDS], last.at, last.cut, last.put))


def back(story: Story, number: int, text: str) -> str | None:
    """Return the text as it was before turn `number`; None where the story does not lead there."""
    if not 0 <= number < len(story):
        return None
    for turn in reversed(story[number:]):
        if turn.at < 0 or turn.cut < 0 or turn.at + turn.cut > len(text):
            return None
        text = text[: turn.at] + turn.put + text[turn.at + turn.cut :]
    return text
