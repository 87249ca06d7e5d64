"""What `import turnwright` offers."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from typing import Any

import turnwright
from docs.made.markdown import block, page, plain, prose


def names_page() -> str:
    """Return the page of the public names: functions, then records, then errors."""
    things = {name: getattr(turnwright, name) for name in turnwright.__all__ if not name.startswith("_")}
    functions = [name for name, thing in things.items() if inspect.isfunction(thing)]
    errors = [
        name for name, thing in things.items() if isinstance(thing, type) and issubclass(thing, Exception)
    ]
    records = [name for name in things if name not in functions and name not in errors]
    return page(
        "Python",
        "```python\nimport turnwright as tw\n```",
        "Each name is imported when it is first used. What is not listed here may change without notice.",
        *(
            part
            for title, names in (("Functions", functions), ("Records", records), ("Errors", errors))
            for part in (f"## {title}", *(each for name in names for each in _thing(name, things[name])))
        ),
    )


def _thing(name: str, thing: Any) -> Iterator[str]:
    yield f"### `{name}`"
    if inspect.isfunction(thing):
        yield block(f"turnwright.{name}{_signature(thing)}", "python")
    doc = inspect.getdoc(thing) or ""
    first, _, rest = doc.partition("\n\n")
    yield plain(first)
    if rest:
        yield prose(rest) if rest.lstrip().startswith("==") else block(rest)


def _signature(function: Any) -> str:
    return str(inspect.signature(function)).replace("'", "")
