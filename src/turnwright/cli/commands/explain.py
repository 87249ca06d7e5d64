"""`turnwright explain JOB NAME`: how one number came about, down to facts and table cells."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

from turnwright.cli.jobs import job_of
from turnwright.cli.outcome import ANSWERED, Outcome

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from turnwright.narrow.next_sizes import NextSizes


def add_arguments(parser: ArgumentParser) -> None:
    """Add what stands behind `explain`."""
    parser.add_argument("job", metavar="JOB", help="job file (TOML), or - for standard input")
    parser.add_argument(
        "name",
        metavar="NAME",
        nargs="?",
        help="a number as the JSON of the answer names it, as currents.primary_rated_a; without it, the list",
    )


def run(arguments: Namespace) -> Outcome:
    """Explain one number of the answer, or list the numbers there are."""
    job = job_of(arguments.job)
    from turnwright.documents.explanation import explain, find, steps_of
    from turnwright.documents.words.next_sizes import next_sizes_of
    from turnwright.narrow import select

    result = select(job, ledger_open=True).to_json()
    steps = steps_of(result)
    if arguments.name is None:
        return Outcome(ANSWERED, _names(steps, result, arguments.format))
    tree = explain(find(arguments.name, steps), steps)
    turns = next_sizes_of(tree["name"], job)
    if arguments.format == "json":
        return Outcome(ANSWERED, _json(tree, steps, result, turns))
    return Outcome(ANSWERED, _text(tree, result, turns))


def _rest(result: dict[str, Any], working: list[Any]) -> dict[str, Any]:
    kept = {"findings": result["findings"], "questions": result["questions"]}
    return {**kept, "working": working, "tool": result["tool"]}


def _json(
    tree: dict[str, Any],
    steps: dict[str, dict[str, Any]],
    result: dict[str, Any],
    turns: NextSizes | None,
) -> str:
    from turnwright.documents.explanation import every_step
    from turnwright.model.as_json import dumps

    more = {} if turns is None else {"next_sizes": turns.to_json()}
    used = dict.fromkeys(step["name"] for step in every_step(tree))
    return dumps(
        {"schema": result["schema"], **tree, **more, **_rest(result, [steps[name] for name in used])}
    )


def _heading(result: dict[str, Any]) -> tuple[str, str]:
    from turnwright.documents.words.phrases import code_edition

    return str(result["job"].get("title") or "Job without a title"), code_edition(result["job"])


def _text(tree: dict[str, Any], result: dict[str, Any], turns: NextSizes | None) -> str:
    from turnwright.cli.text.explain import explain_page, next_sizes_lines
    from turnwright.cli.text.layout import ink_of

    ink = ink_of(sys.stdout)
    return explain_page(tree, *_heading(result), ink) + (next_sizes_lines(turns, ink) if turns else "")


def _names(steps: dict[str, dict[str, Any]], result: dict[str, Any], form: str) -> str:
    from turnwright.cli.text.explain import names_page
    from turnwright.model.as_json import dumps

    if form == "text":
        return names_page(steps, *_heading(result))
    names = [{"name": name, "value": step["value"], "measure": step["unit"]} for name, step in steps.items()]
    return dumps({"schema": result["schema"], "names": names, **_rest(result, [])})
