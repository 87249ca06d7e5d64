"""The files a user writes: every key of a job and of a unit, what it means and what may stand behind it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from docs.made.markdown import code, page, plain, table
from turnwright.model.keys import JOB_TABLES, UNIT_TABLES, Key

HALF_KNOWN = (
    'A value may be half-known: `"unknown"`, `"about 150 A"` or `"120..150 A"`. Where one value is needed, the '
    "*cautious* end is taken and listed as an assumption. What is left out is asked for or assumed in the open, and "
    "never counted as zero."
)
ENDS = {"high": "the high end", "low": "the low end", "": "-"}


def job_file_page() -> str:
    """Return the page of the job file."""
    return _page("The job file", JOB_TABLES, several=("load", "offer"))


def unit_file_page() -> str:
    """Return the page of the unit file."""
    return _page("The unit file", UNIT_TABLES, several=("unit",))


def _page(title: str, tables: Mapping[str, Sequence[Key]], several: tuple[str, ...]) -> str:
    return page(
        title, HALF_KNOWN, *(part for name, keys in tables.items() for part in _table(name, keys, several))
    )


def _table(name: str, keys: Sequence[Key], several: tuple[str, ...]) -> Iterator[str]:
    shown = f"[[{name}]]" if name in several else f"[{name}]"
    yield f"## `{shown}`" if name else "## At the top"
    rows = ([code(key.name), plain(key.says), _values(key), ENDS[key.cautious]] for key in keys)
    yield table(("key", "what it means", "for example", "cautious"), rows)


def _values(key: Key) -> str:
    if key.words:
        return ", ".join(code(word) for word in key.words)
    return code(key.sample) + (f" (a bare number is in {plain(key.bare)})" if key.bare else "")
