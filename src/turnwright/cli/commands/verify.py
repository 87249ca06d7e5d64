"""`turnwright verify FILE.pdf`: whether a paper still stands."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from turnwright.cli.outcome import ANSWERED, ANSWERED_NO, Outcome

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from turnwright.documents.verify import Verified

CHANGES_SHOWN = 12


def add_arguments(parser: ArgumentParser) -> None:
    """Add what stands behind `verify`."""
    parser.add_argument("file", metavar="FILE.pdf", help="a paper that 'turnwright document' made")
    parser.add_argument("--all", action="store_true", help="every value that changed")


def run(arguments: Namespace) -> Outcome:
    """Read the job back out of a paper, compute it again, and say whether the paper stands."""
    from turnwright.documents.verify import verify

    found = verify(arguments.file)
    text = _json(found) if arguments.format == "json" else _text(found, arguments.file, arguments.all)
    return Outcome(ANSWERED if found.stands else ANSWERED_NO, text)


def _json(found: Verified) -> str:
    from turnwright.model.as_json import dumps

    return dumps(found.to_json())


def _text(found: Verified, name: str, show_all: bool) -> str:
    from turnwright.cli.text.layout import entry, ink_of, paragraph, spread
    from turnwright.documents.words.figures import short_digest
    from turnwright.documents.words.phrases import shown

    ink = ink_of(sys.stdout)
    with_ = found.made_with
    about = ", ".join(text for text in (found.paper, found.date) if text)
    right = f"turnwright {with_.version} · tables {short_digest(with_.tables)}"
    lines = [*spread(found.title or name, right), f"  {about}", ""]
    if found.stands:
        said = "It stands: the same job gives the same answer today."
        lines += [ink.strong(line) for line in paragraph(said)]
    else:
        count = len(found.changed)
        said = f"It no longer stands: {count} {'value is' if count == 1 else 'values are'} others today."
        lines += [ink.strong(line) for line in paragraph(said)]
        lines.append("")
        for one in found.changed if show_all else found.changed[:CHANGES_SHOWN]:
            lines += entry(one.path, f"{shown(one.paper)} on paper, now {shown(one.now)}", at=34)
            lines += entry("", one.why, at=34)
        hidden = 0 if show_all else count - CHANGES_SHOWN
        lines += paragraph(f"… {hidden} more: --all") if hidden > 0 else []
    for finding in found.findings:
        lines += entry("note", finding.message)
    return "\n".join(lines) + "\n"
