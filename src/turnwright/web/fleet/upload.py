"""Files that are sent to be followed: read as they come, bounded in number and length, put into a folder.

==========  =====================================================
code        what is wrong
==========  =====================================================
``WEB-30``  a file is missing, or of a kind that is not read
``WEB-31``  the files cannot be kept
==========  =====================================================
"""

from __future__ import annotations

import shutil
from collections.abc import AsyncGenerator
from pathlib import Path, PurePosixPath
from typing import BinaryIO

import anyio
from starlette.datastructures import FormData, UploadFile
from starlette.formparsers import MultiPartException, MultiPartParser
from starlette.requests import Request

from turnwright.errors import InputError
from turnwright.web.fleet.follow import PROFILES, UNITS

MOST_BYTES = 500_000_000
MOST_FILES = 1_000
MOST_FIELDS = 20
MOST_SECONDS = 900.0
LONGEST_NAME = 80
KINDS = {PROFILES: (".parquet", ".csv"), UNITS: (".csv", ".xlsx")}
SAYS = {PROFILES: "file of metered load", UNITS: "list of units"}
_COMMAND = "Give files of that size to 'turnwright fleet'."


class TooLong(InputError):
    """More was sent than is taken."""


async def read_upload(request: Request) -> FormData:
    """Return the form with its files; those of more than a megabyte wait on disk.

    Raises:
        TooLong: WEB-04.
        InputError: FILE-05, WEB-08, WEB-31.
    """
    parser = MultiPartParser(request.headers, _counted(request), max_files=MOST_FILES, max_fields=MOST_FIELDS)
    try:
        with anyio.fail_after(MOST_SECONDS):
            return await parser.parse()
    except TimeoutError:
        what = f"they did not come to an end within {MOST_SECONDS:g} seconds."
        raise InputError("WEB-08", "files", what, _COMMAND) from None
    except MultiPartException as error:
        what = f"they cannot be read ({error.message})."
        raise InputError("FILE-05", "files", what, "Send them again.") from None
    except OSError as error:
        raise _unkept(error) from None


async def _counted(request: Request) -> AsyncGenerator[bytes, None]:
    length = 0
    async for part in request.stream():
        length += len(part)
        if length > MOST_BYTES:
            what = f"they are longer than {MOST_BYTES // 1_000_000} MB."
            raise TooLong("WEB-04", "files", what, _COMMAND)
        yield part


async def keep_files(form: FormData, folder: Path) -> tuple[tuple[str, ...], str]:
    """Put the files of a form into a folder, and return the names of the profiles and of the list of units.

    Raises:
        InputError: WEB-30, WEB-31.
    """
    kept: dict[str, list[str]] = {}
    for kind in (PROFILES, UNITS):
        files = [each for each in form.getlist(kind) if isinstance(each, UploadFile) and each.filename]
        if not files or (kind == UNITS and len(files) > 1):
            what = "no file came." if not files else "one list is wanted."
            raise InputError("WEB-30", SAYS[kind], what, f"Choose {_of_kind(kind)}.")
        kept[kind] = [await _keep(each, folder / kind, kind) for each in files]
    return tuple(kept[PROFILES]), kept[UNITS][0]


async def _keep(given: UploadFile, folder: Path, kind: str) -> str:
    name = safe_name(given.filename or "")
    if Path(name).suffix.lower() not in KINDS[kind]:
        what = f'"{name}" is of a kind that is not read.'
        raise InputError("WEB-30", SAYS[kind], what, f"Choose {_of_kind(kind)}.")
    try:
        path = await anyio.to_thread.run_sync(_copy, given.file, folder, name)
    except OSError as error:
        raise _unkept(error) from None
    return path.name


def _copy(source: BinaryIO, folder: Path, name: str) -> Path:
    folder.mkdir(exist_ok=True)
    path, number = folder / name, 1
    while path.exists():
        number += 1
        path = folder / f"{number}-{name}"
    with path.open("xb") as file:
        shutil.copyfileobj(source, file, 1 << 20)
    return path


def safe_name(name: str) -> str:
    """Return the name of a file without folders, signs that mean something to a path, and great length.

    Example:
        >>> safe_name("../../etc/passwd.csv"), safe_name("C:\\\\meters\\\\.north \\n hall.parquet"), safe_name("")
        ('passwd.csv', 'north   hall.parquet', 'file')
    """
    last = PurePosixPath(name.replace("\\", "/")).name
    plain = "".join(each if each.isprintable() and each not in '<>:"|?*' else " " for each in last)
    plain = plain.strip(" .") or "file"
    stem, dot, suffix = plain.rpartition(".")
    return f"{stem[: LONGEST_NAME - len(suffix[:10])]}{dot}{suffix[:10]}" if dot else plain[:LONGEST_NAME]


def _of_kind(kind: str) -> str:
    names = " or ".join(each[1:].upper() if each != ".parquet" else "Parquet" for each in KINDS[kind])
    return f"a {SAYS[kind]}, {names}"


def _unkept(error: OSError) -> InputError:
    what = f"they cannot be kept: {(error.strerror or str(error)).lower()}."
    return InputError("WEB-31", "files", what, "Make room on the disk of this machine, then send them again.")
