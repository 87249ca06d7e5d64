"""The reference tables: what each holds, its columns, and where its values were read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from docs.made.markdown import code, page, plain, table
from turnwright.reference import Description, describe, load, table_names

NO_REGIME = "any"


def table_pages() -> dict[str, str]:
    """Return a page of the tables of each regime, and the list of them."""
    by_regime: dict[str, list[Description]] = {}
    for name in table_names():
        about = describe(name)
        by_regime.setdefault(about.regime or NO_REGIME, []).append(about)
    pages = {f"reference/tables/{regime}.md": _page(regime, all_of) for regime, all_of in by_regime.items()}
    rows = (
        [code(about.name), plain(about.title), plain(about.document), ", ".join(about.editions) or "-"]
        for all_of in by_regime.values()
        for about in all_of
    )
    pages["reference/tables/index.md"] = page(
        "Tables",
        f"{len(table_names())} tables of standards, laws and the trade's practice. `turnwright tables NAME` prints "
        "the rows of one, each with its source; every row of a table names where its values were read and how they "
        "are known.",
        table(("table", "what it is", "document", "editions"), rows),
        "```{toctree}\n\n" + "\n".join(by_regime) + "\n```",
    )
    return pages


def _page(regime: str, all_of: list[Description]) -> str:
    return page(f"Tables of `{regime}`", *(part for about in all_of for part in _table(about)))


def _table(about: Description) -> Iterator[str]:
    rows = load(about.name).newest().rows
    yield f"## `{about.name}`"
    yield f"**{plain(about.title)}** ({plain(about.document)}). {plain(about.summary)}"
    editions = f"editions {', '.join(about.editions)}" if about.editions else "one edition"
    yield f"{len(rows)} rows, {editions}."
    yield table(
        ("column", "unit", "what it holds"),
        ([code(each.name), plain(each.unit or "-"), plain(each.description)] for each in about.columns),
    )
    sources = Counter((row.source.cite(), row.source.known, row.source.seen_at) for row in rows)
    yield table(
        ("source", "rows", "known", "from where"),
        ([plain(cited), str(count), known, plain(seen)] for (cited, known, seen), count in sources.items()),
    )
