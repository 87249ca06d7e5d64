"""What a kept job is found by: its words and what it is told, without figures and without regard to capitals."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from hashlib import sha256

from turnwright.errors import InputError
from turnwright.intake import read_job

_FIGURES = re.compile(r"\d[\d.,]*")


def folded(text: str) -> str:
    """Return a text as it is searched for.

    Example:
        >>> folded("Kai  Öst")
        'kai öst'
    """
    return " ".join(text.casefold().split())


def without_figures(text: str) -> str:
    """Return a text with a mark for each figure: what a finding says of one job and of the next is then equal.

    Example:
        >>> without_figures("18.2 kA, more than 14 kA")
        '# ka, more than # ka'
    """
    return folded(_FIGURES.sub("#", text))


def names_of(key: str, job_text: str) -> list[str]:
    """Return the names in a job: its title and those of its loads.

    Example:
        >>> names_of("hall", 'title = "Net loft"\\n[[load]]\\nname = "Winch"')
        ['Net loft', 'Winch']
    """
    try:
        job = read_job(job_text, key)
    except InputError:  # kept by an older tool
        return []
    return [name for name in (job.title, *(load.name for load in job.load)) if name]


def sayings(findings: Iterable[Mapping[str, str]], names: Iterable[str] = ()) -> dict[str, dict[str, str]]:
    """Return what findings say, by a mark of code and words; names of the job are left out of it.

    Example:
        >>> list(sayings([{"code": "x", "message": "Winch 2 takes 40 A."}], ["Winch 2"]).values())
        [{'code': 'x', 'words': '… takes # a.'}]
    """
    own = [re.escape(name) for name in sorted(set(names), key=len, reverse=True)]
    named = re.compile(rf"(?<!\w)(?:{'|'.join(own)})(?!\w)", re.IGNORECASE) if own else None
    found: dict[str, dict[str, str]] = {}
    for one in findings:
        message = named.sub("…", one["message"]) if named else one["message"]
        words = without_figures(message)
        mark = sha256(f"{one['code']}\n{words}".encode()).hexdigest()
        found[mark] = {"code": one["code"], "words": words}
    return found
