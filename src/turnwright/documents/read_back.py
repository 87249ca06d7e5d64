"""The job and the result inside a PDF, read back.

==============  ==================================================
code            what is wrong
==============  ==================================================
``VERIFY-01``   this is no PDF
``VERIFY-02``   this PDF carries no job: it was not made here
``VERIFY-03``   the file is damaged, or cut short
``VERIFY-04``   the file is locked by a password
``VERIFY-05``   a later version made it
==============  ==================================================
"""

from __future__ import annotations

import io
import logging
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import msgspec

from turnwright.documents.attachments import JOB, LAYOUT, MADE, RESULT, Made, made_from
from turnwright.documents.make import EXTRAS
from turnwright.errors import InputError, MissingExtra

if TYPE_CHECKING:
    from pypdf import PdfReader

LARGEST_BYTES = 100_000_000
OTHER_FILE = "Name a PDF that 'turnwright document' made."


class PaperBack(NamedTuple):
    """What a PDF carries: how it was made, the job file, the result, and the file itself."""

    made: Made
    job_text: str
    result_text: str
    result: dict[str, Any]
    content: bytes


def read_back(path: str | Path) -> PaperBack:
    """Return what a paper carries.

    Raises:
        InputError: FILE-01, FILE-02, FILE-04, FILE-05 as for job files; VERIFY-01 to VERIFY-05.
        MissingExtra: VERIFY-06, the part that reads PDF is not installed.
    """
    return read_content(_content(Path(path)), str(path))


def read_content(content: bytes, place: str) -> PaperBack:
    """Return what the bytes of a paper carry; `place` is what it is called in messages.

    Raises:
        InputError: VERIFY-01 to VERIFY-05.
        MissingExtra: VERIFY-06.
    """
    if not content.lstrip()[:5] == b"%PDF-":
        raise InputError("VERIFY-01", place, "this is no PDF.", OTHER_FILE)
    files = _attached(content, place)
    if MADE not in files or JOB not in files or RESULT not in files:
        what = "this PDF carries no job of ours, or lost it when it was printed or saved by another program."
        raise InputError("VERIFY-02", place, what, OTHER_FILE)
    try:
        made = _made(files[MADE], place)
        job_text, result_text = files[JOB].decode(), files[RESULT].decode()
        result = msgspec.json.decode(result_text, type=dict[str, Any])
    except (UnicodeDecodeError, msgspec.DecodeError) as error:
        raise _damaged(place, error) from None
    return PaperBack(made, job_text, result_text, result, content)


def _content(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as error:
        raise _unreadable(str(path), error) from None
    if len(content) > LARGEST_BYTES:
        what = "this file is larger than 100 MB, too large for a paper."
        raise InputError("FILE-04", str(path), what, OTHER_FILE)
    return content


def _unreadable(place: str, error: Exception) -> InputError:
    if isinstance(error, FileNotFoundError):
        return InputError("FILE-01", place, "there is no such file.", "Check the name and the folder.")
    if isinstance(error, IsADirectoryError):
        return InputError("FILE-02", place, "this is a folder, not a paper.", OTHER_FILE)
    reason = (getattr(error, "strerror", None) or type(error).__name__).lower()
    fix = "Check that it exists and that you may read it."
    return InputError("FILE-05", place, f"this file cannot be read ({reason}).", fix)


def _made(data: bytes, place: str) -> Made:
    tree = msgspec.json.decode(data, type=dict[str, Any])
    layout = tree.get("layout")
    if isinstance(layout, int) and layout > LAYOUT:
        what = f"this paper was made by a later version (layout {layout}, known here: {LAYOUT})."
        raise InputError("VERIFY-05", place, what, "Update turnwright and verify it again.")
    return made_from(tree)


def _attached(content: bytes, place: str) -> dict[str, bytes]:
    """Return the files inside a PDF by name, the first of each name."""
    reader = reader_of(content, place)
    with _telling(place):
        return {name: bytes(versions[0]) for name, versions in reader.attachments.items() if versions}


@contextmanager
def _telling(place: str) -> Iterator[None]:
    """Refuse what cannot be read: whatever a parser makes of a hostile file is a damaged file to its user.

    Raises:
        InputError: VERIFY-03.
    """
    try:
        yield
    except Exception as error:
        raise _damaged(place, error) from None


def _damaged(place: str, error: Exception) -> InputError:
    reason = type(error).__name__
    fix = "Get the paper again from whoever sent it, whole."
    return InputError("VERIFY-03", place, f"this PDF is damaged or cut short ({reason}).", fix)


def reader_of(content: bytes, place: str) -> PdfReader:
    """Return a reader of a PDF.

    Raises:
        InputError: VERIFY-03, VERIFY-04.
        MissingExtra: VERIFY-06.
    """
    try:
        import pypdf
    except ImportError:
        extra = EXTRAS["pdf"]
        what, fix = "reading PDF needs a part that is not installed.", f"pip install 'turnwright[{extra}]'."
        raise MissingExtra("VERIFY-06", place, what, fix) from None
    logging.getLogger("pypdf").setLevel(logging.CRITICAL)
    with _telling(place):
        reader = pypdf.PdfReader(io.BytesIO(content), strict=False)
        locked = bool(reader.is_encrypted)
        if not locked:
            len(reader.pages)
    if locked:
        raise InputError("VERIFY-04", place, "this PDF is locked by a password.", "Save it without one.")
    return reader


def page_texts(content: bytes, place: str) -> list[str]:
    """Return what can be read on each page, spaces and line breaks made alike.

    Raises:
        InputError: VERIFY-03.
    """
    reader = reader_of(content, place)
    with _telling(place):
        return [" ".join(page.extract_text().split()) for page in reader.pages]
