"""Conductor sizes as written: AWG and kcmil by ASTM B258, square millimetres by IEC 60228.

==========  ==========================================================================
code        what is wrong
==========  ==========================================================================
``SIZE-01`` not a conductor size
``SIZE-02`` a number without its series
``SIZE-03`` a size that no conductor has
==========  ==========================================================================
"""

import math
import re
from typing import Literal

from msgspec import Struct

from turnwright.errors import InputError
from turnwright.quantities.spelling import LONGEST, plain, quoted, tidy
from turnwright.quantities.unknown import UNKNOWN, Unknown, is_unknown

Series = Literal["AWG", "kcmil", "mm²"]

_FORMS = 'Write "4/0 AWG", "400 kcmil", "25 mm²" or "unknown".'
_SIZE = r"(awg|#|no\.?)?\s?#?([0-9]+(?:\.[0-9]+)?)(/0)?\s?([a-z²2.]*)"
_WORDS: dict[str, Series] = {
    "awg": "AWG",
    "kcmil": "kcmil",
    "mcm": "kcmil",
    "mm²": "mm²",
    "mm2": "mm²",
    "sqmm": "mm²",
}
_MM_PER_INCH = 25.4
_LARGEST_MM2 = 3000.0


class ConductorSize(Struct, frozen=True):
    """The size of one conductor.

    text      "4/0 AWG", "400 kcmil", "25 mm²"
    area_mm2  area of the size by definition; a table of conductors has the area of the strands
    series    the series it belongs to
    """

    text: str
    area_mm2: float
    series: Series


def awg_area_mm2(gauge: int) -> float:
    """Return the area of a gauge [mm²].

    area = π/4 · (0.005 in · 92^((36 − gauge)/39))²

    Args:
        gauge: 36 to 1; 0 is 1/0 and −3 is 4/0.

    Source: ASTM B258 (from memory): 36 AWG is 0.005 in, 4/0 AWG is 0.46 in, 38 sizes between in even ratio.

    Example:
        >>> round(awg_area_mm2(-3), 1), round(awg_area_mm2(12), 2)
        (107.2, 3.31)
    """
    return math.pi / 4 * (0.005 * _MM_PER_INCH * math.pow(92.0, (36 - gauge) / 39)) ** 2


def kcmil_area_mm2(size_kcmil: float) -> float:
    """Return the area of a size in thousands of circular mils [mm²].

    area = π/4 · (0.001 in)² · 1000 · size

    Source: definition of the circular mil, the area of a circle 0.001 in across.

    Example:
        >>> round(kcmil_area_mm2(250), 1)
        126.7
    """
    return math.pi / 4 * (0.001 * _MM_PER_INCH) ** 2 * 1000 * size_kcmil


def parse_conductor_size(given: object, *, where: str) -> ConductorSize | Unknown:
    """Return the conductor size that a text names, or `UNKNOWN` for the word "unknown".

    Args:
        given: "12 AWG", "#12", "4/0", "4/0 AWG", "400 kcmil", "25 mm²".
        where: file, line and key, for the message.

    Raises:
        InputError: SIZE-01 to SIZE-03, each with what was read and what to write instead.

    Example:
        >>> parse_conductor_size("#2", where="circuit.conductor_size").text
        '2 AWG'
        >>> parse_conductor_size("25 mm2", where="circuit.conductor_size")
        ConductorSize(text='25 mm²', area_mm2=25.0, series='mm²')
    """
    if is_unknown(given):
        return UNKNOWN
    text = tidy(given).casefold() if isinstance(given, str) and len(given) <= LONGEST else ""
    match = re.fullmatch(_SIZE, text.replace("sq mm", "sqmm").replace("sq. mm", "sqmm"))
    if match is None:
        raise InputError("SIZE-01", where, f"{quoted(given)} is not a conductor size.", _FORMS)
    mark, number, zeros, word = match.groups()
    series = _WORDS.get(word)
    if series is None and not word and (mark or zeros):
        series = "AWG"
    if series is None:
        code, what = ("SIZE-02", "has no series") if not word else ("SIZE-01", "is not a conductor size")
        raise InputError(code, where, f"{quoted(given)} {what}.", _FORMS)
    size = _awg(number, zeros) if series == "AWG" else _by_area(float(number), series, mark or zeros)
    if size is None:
        raise InputError("SIZE-03", where, f"{quoted(given)} is a size that no conductor has.", _FORMS)
    return size


def _awg(number: str, zeros: str | None) -> ConductorSize | None:
    """Gauges run from 36 up to 1, then 1/0 to 4/0, also written 0 to 0000."""
    if number.strip("0") == "" and not zeros and len(number) <= 4:
        number, zeros = str(len(number)), "/0"
    if not number.isdigit() or len(number) > 2:
        return None
    count = int(number)
    if not (1 <= count <= (4 if zeros else 36)):
        return None
    name = f"{count}/0 AWG" if zeros else f"{count} AWG"
    return ConductorSize(name, awg_area_mm2(1 - count if zeros else count), "AWG")


def _by_area(number: float, series: Series, awg_mark: str | None) -> ConductorSize | None:
    area = kcmil_area_mm2(number) if series == "kcmil" else number
    if awg_mark or not 0.05 <= area <= _LARGEST_MM2:
        return None
    return ConductorSize(f"{plain(number)} {series}", area, series)
