"""`turnwright examine QUESTION FILE`: one question in depth."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from turnwright.cli.arguments import WIDTH
from turnwright.cli.circuit_options import add_inrush_and_network, of_inrush
from turnwright.cli.heat_options import add_year_and_cost, year_and_cost
from turnwright.cli.jobs import STANDARD_INPUT, job_of, text_of, typed
from turnwright.cli.outcome import ANSWERED, ANSWERED_NO, NOT_ENOUGH_KNOWN, Outcome

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from turnwright.examine import Asked, Options, Study
    from turnwright.model.job import Nameplate

STATUS = {"answered": ANSWERED, "refused": ANSWERED_NO, "needs-input": NOT_ENOUGH_KNOWN}
"""Verdict of a study -> exit status."""
_NOT_OF_THE_QUESTION = {"question", "file", "format", "why", "all", "plot"}
_UNLESS_SAID = {"ageing": "iec", "cooling": "AN", "together": 1, "reverse_fed": False}
_UNIT_TABLE = re.compile(r"^\s*(\[\[?\s*unit\s*\]|unit\s*[.=])", re.MULTILINE)
_JOB_TABLE = re.compile(r"^\s*(\[\[?\s*(supply|load)\b|(supply|load)\s*[.=])", re.MULTILINE)


def add_arguments(parser: ArgumentParser) -> None:
    """Add what stands behind `examine`."""
    from turnwright.examine.registry import QUESTIONS
    from turnwright.examine.taken import says

    width = max(len(asked.name) for asked in QUESTIONS) + 2
    parser.epilog = "\n".join(
        ["questions:", *(line for asked in QUESTIONS for line in _listed(asked, width))]
    )
    parser.add_argument("question", metavar="QUESTION", help="what to examine; the list stands below")
    parser.add_argument(
        "file",
        metavar="FILE",
        help="job file (TOML), for year, overload, inrush also a unit file, for network circuits (JSON), - for stdin",
    )
    parser.add_argument(
        "--voltage-factor",
        metavar="C",
        type=float,
        help=f"fault: {says('voltage_factor')}, as 1.05",
    )
    parser.add_argument(
        "--power-factor",
        metavar="PF",
        type=float,
        help=f"motor-start: {says('power_factor')}",
    )
    parser.add_argument(
        "--unit",
        metavar="UNITS",
        help=f"parallel: file of {says('unit')}",
    )
    add_inrush_and_network(parser)
    add_year_and_cost(parser)
    parser.add_argument("--plot", metavar="FILE", help="write the curves of the answer as pictures: FILE.svg")
    parser.add_argument("--why", metavar="NAME", help="how one number of the answer came about")
    parser.add_argument("--all", action="store_true", help="every finding, question, and assumption")


def _listed(asked: Asked, width: int) -> list[str]:
    from textwrap import wrap

    head = f"  {asked.name:{width}}"
    return wrap(asked.says, WIDTH, initial_indent=head, subsequent_indent=" " * len(head))


def run(arguments: Namespace) -> Outcome:
    """Examine one question."""
    from turnwright.examine import find_question, refuse_options

    asked = find_question(arguments.question)
    _refuse_vary(asked, arguments)
    text, name = text_of(arguments.file) if asked.units else ("", "")
    units = _units(text, name)
    options = _options(arguments, units)
    refuse_options(asked, options)
    study = _of_units(asked, units, options) if units else _study(asked, arguments, options, text, name)
    if arguments.plot is not None:
        _plot(study, arguments.plot)
    if arguments.why is not None:
        return Outcome(STATUS[study.verdict], _why(study, arguments))
    text = _json(study) if arguments.format == "json" else _text(study, arguments)
    return Outcome(STATUS[study.verdict], text)


def _plot(study: Study, file: str) -> None:
    """Write the curves of a study; a picture that is there already is replaced, anything else is not."""
    from turnwright.documents.drawing.series import sheet_of
    from turnwright.documents.files import write_all
    from turnwright.errors import InputError

    path = Path(file)
    if path.suffix.lower() != ".svg":
        raise InputError("EXM-11", "--plot", f"{path.name} is no name of a picture.", "Let it end in .svg.")
    title = f"{study.job.get('title') or 'Circuits'}: {study.question}"
    write_all(path.parent, {path.name: sheet_of(study.series, title).encode("utf-8", "replace")}, force=True)


def _refuse_vary(asked: Asked, arguments: Namespace) -> None:
    from turnwright.errors import InputError

    for word in ("vary", "case"):
        if getattr(arguments, word) is not None and asked.takes != "circuits":
            what = f"does not go with the question {asked.name}."
            raise InputError("EXM-04", f"--{word}", what, f"Leave --{word} out.")


def _units(text: str, name: str) -> tuple[Nameplate, ...]:
    """Return the units of a text that describes units and no job."""
    if not _UNIT_TABLE.search(text) or _JOB_TABLE.search(text):
        return ()
    from turnwright.intake import read_unit

    return read_unit(text, name)


def _of_units(asked: Asked, units: tuple[Nameplate, ...], options: Options) -> Study:
    from turnwright.examine.of_units import examine_unit

    return examine_unit(asked.name, units, options)


def _options(arguments: Namespace, units: tuple[Nameplate, ...]) -> Options:
    from turnwright.examine import Options
    from turnwright.intake import load_unit

    return Options(
        voltage_factor=arguments.voltage_factor,
        power_factor=arguments.power_factor,
        unit=load_unit(arguments.unit) if arguments.unit is not None else (),
        **of_inrush(arguments),
        **year_and_cost(arguments, units[0].unit if units else None),
    )


def _study(asked: Asked, arguments: Namespace, options: Options, text: str, name: str) -> Study:
    if asked.takes == "circuits":
        return _circuits(arguments.file, arguments.vary, arguments.case)
    from turnwright.intake import read_job

    job = read_job(text, name) if asked.units else job_of(arguments.file)
    from turnwright.examine import examine  # after the job: a file that cannot be used is told at once

    return examine(asked.name, job, options)


def _circuits(file: str, vary: list[str] | None, case: str | None) -> Study:
    from turnwright.examine import examine_circuits
    from turnwright.intake import read_text

    text, name = (
        text_of(file) if file == STANDARD_INPUT else (read_text(file, "file of circuits"), Path(file).name)
    )
    if not vary:
        return examine_circuits(text, name)
    from turnwright.circuit.sweep import sweep  # says which part is missing, where one is
    from turnwright.examine.network_sweep import examine_variants

    del sweep
    return examine_variants(text, name, vary, case)


def _json(study: Study) -> str:
    from turnwright.model.as_json import dumps

    return dumps(study.to_json())


def _text(study: Study, arguments: Namespace) -> str:
    from turnwright.cli.text.examine import examine_page
    from turnwright.cli.text.layout import ink_of

    return examine_page(study, typed(arguments.file), arguments.all, ink_of(sys.stdout), _said(arguments))


def _said(arguments: Namespace) -> str:
    """Return the options of the question as they were typed, to ask once more with the same ones."""
    given = {
        key: value
        for key, value in vars(arguments).items()
        if key not in _NOT_OF_THE_QUESTION and value is not None and value != _UNLESS_SAID.get(key)
    }
    return "".join(_typed_option(key, value) for key, value in given.items())


def _typed_option(key: str, value: Any) -> str:
    word = f" --{key.replace('_', '-')}"
    if isinstance(value, list):
        return "".join(f"{word} {typed(str(each))}" for each in value)
    return word if value is True else f"{word} {typed(str(value))}"


def _why(study: Study, arguments: Namespace) -> str:
    """One number with everything that went into it, as `explain` shows it."""
    from turnwright.cli.text.explain import explain_page
    from turnwright.cli.text.layout import ink_of
    from turnwright.documents.explanation import every_step, explain, find, steps_of
    from turnwright.documents.words.phrases import code_edition
    from turnwright.errors import UnknownKey
    from turnwright.model.as_json import dumps

    whole = study.to_json()
    steps = steps_of({key: whole[key] for key in ("answers", "working", "job")})
    try:
        name = find(arguments.why, steps)
    except UnknownKey as unknown:
        fix = unknown.fix.split("'turnwright explain", 1)[0] + "The names stand in the JSON of this answer."
        raise UnknownKey(unknown.code, unknown.where, unknown.what, fix) from None
    tree = explain(name, steps)
    if arguments.format == "json":
        used = dict.fromkeys(step["name"] for step in every_step(tree))
        kept: dict[str, Any] = {key: whole[key] for key in ("findings", "questions", "tool")}
        working = [steps[one] for one in used]
        return dumps(
            {"schema": whole["schema"], "question": study.question, **tree, **kept, "working": working}
        )
    title = f"{study.job.get('title') or 'Job without a title'}: {study.question}"
    return explain_page(tree, title, code_edition(study.job), ink_of(sys.stdout))
