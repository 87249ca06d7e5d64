"""A job read from a file, a text or a mapping, checked on the way; the first fault is told in a sentence."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from turnwright.intake.checks import check_job
from turnwright.intake.places import Places
from turnwright.intake.refusals import wrong_type
from turnwright.intake.tables import layout, read_table
from turnwright.intake.text_file import file_name, read_text
from turnwright.intake.toml_lines import key_lines
from turnwright.intake.toml_text import parse_toml
from turnwright.model.job import Choices, Circuit, Duty, Job, Load, Nameplate, Room, Site, Supply
from turnwright.model.keys import JOB_TABLES

if TYPE_CHECKING:
    from pathlib import Path

_LAYOUT = layout(
    "a job file",
    JOB_TABLES,
    {
        "supply": Supply,
        "load": Load,
        "load.duty": Duty,
        "site": Site,
        "site.room": Room,
        "circuit": Circuit,
        "choices": Choices,
        "offer": Nameplate,
    },
    several=("load", "offer"),
)


def load_job(path: str | Path) -> Job:
    """Return the job of a TOML file.

    Raises:
        InputError: FILE-01 to FILE-05, and those of `read_job`.
    """
    return read_job(read_text(path, "job file"), file_name(path))


def read_job(text: str, origin: str = "job") -> Job:
    """Return the job of a TOML text; `origin` names it in messages and in the working.

    Raises:
        InputError: the first thing that cannot be used, with line and key path.

    Example:
        >>> job = read_job('supply.system = "480Y/277"\\n[[load]]\\nsystem = "208Y/120"\\nkva = "22 kVA"')
        >>> job.supply.system.text, job.load[0].kva.value, job.lines["load[0].kva"]
        ('480Y/277', 22.0, 4)
    """
    return _job(parse_toml(text, origin), Places(origin, key_lines(text)))


def job_from_mapping(data: Mapping[str, object], origin: str = "job") -> Job:
    """Return the job of a mapping laid out as the file is, from JSON or Python; None: no such key.

    Raises:
        InputError: the first thing that cannot be used, with its key path.

    Example:
        >>> load = {"system": "208Y/120", "kva": 22}
        >>> job_from_mapping({"supply": {"system": "480Y/277"}, "load": [load]}).load[0].kva.text
        '22'
    """
    if not isinstance(data, Mapping):
        raise wrong_type(data, origin, "a table", 'A job is a table with "supply" and "load" in it.')
    return _job(data, Places(origin, {}))


def _job(data: Mapping[str, object], places: Places) -> Job:
    job = Job(**read_table(_LAYOUT, "", data, "", places), origin=places.origin, lines=dict(places.lines))
    check_job(job)
    return job
