"""`turnwright compare A B`: which facts changed between two jobs, and what each moved."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from turnwright.cli.jobs import job_of
from turnwright.cli.outcome import ANSWERED, Outcome
from turnwright.errors import InputError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from turnwright.model.job import Job


def add_arguments(parser: ArgumentParser) -> None:
    """Add what stands behind `compare`."""
    parser.add_argument(
        "before", metavar="A", help="job file, - for standard input, or a kept job: NAME@3, NAME@"
    )
    parser.add_argument(
        "after", metavar="B", nargs="?", help="the same; not needed with --edition, --regime, --manufactured"
    )
    parser.add_argument("--edition", help="compare the job with itself under this edition")
    parser.add_argument(
        "--regime",
        help="the job under other rules beside its own: one, or several with commas: us,ca,iec",
    )
    parser.add_argument(
        "--manufactured", metavar="DATE", help="compare the job with itself, the unit made at this date"
    )
    parser.add_argument(
        "--store", metavar="URL", help="where jobs are kept (default: the user's data folder)"
    )


def _side_by_side(job: Job, arguments: Namespace) -> Outcome:
    """Show one job under its own rules and others; as JSON the comparison with one, or all the answers."""
    from turnwright.narrow.compare import compare, under, under_all
    from turnwright.regimes import DEFAULT

    named = [name.strip() for name in arguments.regime.split(",") if name.strip()]
    regimes = tuple(dict.fromkeys([str(job.regime or DEFAULT), *named]))
    results = under_all(job, regimes)
    if arguments.format == "json":
        from turnwright.cli.text.compare import beside_to_json, comparison_to_json
        from turnwright.model.as_json import dumps

        whole = comparison_to_json(compare(job, under(job, regime=named[0]))) if len(named) == 1 else {}
        return Outcome(ANSWERED, dumps({**beside_to_json(regimes, results), **whole}))
    from turnwright.cli.text.compare import beside_page

    return Outcome(ANSWERED, beside_page(results))


def run(arguments: Namespace) -> Outcome:
    """Compare two jobs, or one job under two editions, regimes or dates."""
    other = arguments.edition or arguments.regime or arguments.manufactured
    if bool(other) == bool(arguments.after):
        raise InputError(
            "CLI-04",
            "turnwright compare",
            "give two jobs, or one job and --edition, --regime or --manufactured.",
            "See --help.",
        )
    before = _job(arguments.before, arguments.store)
    if arguments.regime and not (arguments.edition or arguments.manufactured):
        return _side_by_side(before, arguments)
    from turnwright.cli.text.compare import compare_page, comparison_to_json
    from turnwright.narrow.compare import compare, under

    after = _job(arguments.after, arguments.store) if arguments.after else None
    if after is None:
        after = under(
            before,
            regime=arguments.regime,
            edition=arguments.edition,
            manufactured=arguments.manufactured,
        )
    found = compare(before, after)
    if arguments.format == "json":
        from turnwright.model.as_json import dumps

        return Outcome(ANSWERED, dumps(comparison_to_json(found)))
    from turnwright.cli.text.layout import ink_of

    return Outcome(ANSWERED, compare_page(found, ink_of(sys.stdout)))


def _job(word: str, url: str | None) -> Job:
    """Return the job of a file, or of a kept revision: its name, @, and its number or nothing for the newest."""
    name, mark, number = word.rpartition("@")
    if not mark or (number and not number.isdecimal()) or Path(word).exists():
        return job_of(word)
    from turnwright.intake import read_job
    from turnwright.store import Store, default_url

    with Store(url or default_url()) as store:
        return read_job(store.revision(name, int(number) if number else None).job_text, word)
