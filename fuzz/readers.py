"""What reads something from outside: the bytes go in, and nothing but a refusal in one sentence may come out."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable
from functools import cache
from io import BytesIO
from pathlib import Path

from fuzz.asking import asked
from turnwright.ask import job_from_request, load_list_job
from turnwright.circuit.network_file import examine_network
from turnwright.documents.attachments import attachments_of
from turnwright.documents.brief import Brief
from turnwright.documents.verify import verify
from turnwright.errors import TurnwrightError
from turnwright.examine.course_file import read_course
from turnwright.fleet.profile_files import blocks, rows_of, units_and_start
from turnwright.fleet.records import FleetOptions
from turnwright.fleet.unit_list import read_units
from turnwright.intake import load_job, load_unit, read_job
from turnwright.narrow import select
from turnwright.vetting import load_stock_list, vet, vet_stock

Reader = Callable[[bytes], None]
ROOT = Path(__file__).parents[1]
PLAIN_JOB = '[supply]\nsystem = "480Y/277"\n[[load]]\nsystem = "208Y/120"\nkva = "22 kVA"\n'
PART = b"--- "
"""Begins the line that names a file inside a paper."""
LONGEST_SENTENCE = 3000


class NotASentence(AssertionError):
    """A refusal that is empty, endless or of several lines."""


def tried(reader: Reader, data: bytes) -> bool:
    """Return whether something could be read; whatever else than a refusal comes out goes on to the caller."""
    try:
        reader(data)
    except TurnwrightError as error:
        said = str(error)
        if not said or "\n" in said or len(said) > LONGEST_SENTENCE:
            raise NotASentence(said[:LONGEST_SENTENCE]) from error
        return False
    return True


def _in_a_file(name: str, data: bytes, read: Callable[[Path], object]) -> None:
    with tempfile.TemporaryDirectory(prefix="fuzz-") as folder:
        path = Path(folder) / name
        path.write_bytes(data)
        read(path)


def _job(data: bytes) -> None:
    _in_a_file("job.toml", data, lambda path: json.dumps(select(load_job(path)).to_json()))


def _request(data: bytes) -> None:
    read = job_from_request(data.decode("utf-8", "replace"))
    read_job(read.text)
    json.dumps(read.to_json())


def _unit(data: bytes) -> None:
    _in_a_file("unit.toml", data, lambda path: vet(read_job(PLAIN_JOB), load_unit(path)))


def _stock(data: bytes) -> None:
    name = "stock.xlsx" if data.startswith(b"PK") else "stock.csv"
    _in_a_file(name, data, lambda path: vet_stock(read_job(PLAIN_JOB), load_stock_list(path)))


def _list(data: bytes) -> None:
    def read(path: Path) -> None:
        found = load_list_job(path)
        read_job(found.text)
        json.dumps(found.to_json())

    _in_a_file("list.xlsx" if data.startswith(b"PK") else "list.csv", data, read)


def _units(data: bytes) -> None:
    _in_a_file("units.csv", data, lambda path: read_units(path, FleetOptions()))


def _profile(data: bytes) -> None:
    def read(path: Path) -> None:
        rows_of(path)
        units_and_start(path)
        for block in blocks(path):
            block()

    _in_a_file("profile.parquet" if data.startswith(b"PAR1") else "profile.csv", data, read)


def _course(data: bytes) -> None:
    read_course(data.decode("utf-8", "replace"))


def _network(data: bytes) -> None:
    json.dumps(examine_network(data.decode("utf-8", "replace"), "case.json"))


def _paper(data: bytes) -> None:
    _in_a_file("memo.pdf", data if data.lstrip().startswith(b"%PDF") else paper_of(parts_of(data)), verify)


def parts_of(data: bytes) -> dict[str, str]:
    """Return the texts of a seed of several files, each after a line that begins with `--- ` and names it."""
    parts: dict[str, str] = {}
    for part in (b"\n" + data).split(b"\n" + PART)[1:]:
        name, _, text = part.partition(b"\n")
        parts[name.decode("utf-8", "replace").strip()] = text.decode("utf-8", "replace")
    return parts


def paper_of(parts: dict[str, str]) -> bytes:
    """Return a PDF of one empty page with files inside."""
    from pypdf import PdfWriter

    writer = PdfWriter()
    writer.add_blank_page(width=72, height=72)
    for name, text in parts.items():
        writer.add_attachment(name or "-", text.encode("utf-8", "replace"))
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


@cache
def whole_paper() -> bytes:
    """Return a paper as `document` makes it, but for its pages."""
    job = read_job(PLAIN_JOB)
    brief = Brief(job=job, text=PLAIN_JOB, origin="job.toml", result=select(job), measure="us")
    return paper_of({each.name: each.text for each in attachments_of(brief, "memo")})


READERS: dict[str, Reader] = {
    "job": _job,
    "request": _request,
    "unit": _unit,
    "stock": _stock,
    "list": _list,
    "units": _units,
    "profile": _profile,
    "course": _course,
    "network": _network,
    "paper": _paper,
    "http": asked,
}


@cache
def seeds_of(name: str) -> tuple[bytes, ...]:
    """Return what a reader can read to begin with: its own seeds, found cases, and example files of its kind."""
    shown = {"job": "examples/*.toml", "stock": "examples/*.csv"}.get(name)
    paths = [*(ROOT / "fuzz/seeds" / name).iterdir(), *(ROOT.glob(shown) if shown else ())]
    made = [whole_paper()] if name == "paper" else []
    return (*(path.read_bytes() for path in sorted(paths)), *made)
