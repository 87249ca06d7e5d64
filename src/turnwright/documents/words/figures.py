"""Figures for people: a limit never rounds up, a demand never rounds down."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from turnwright.quantities import fixed
from turnwright.quantities.figures import Rounding

DIGEST_SHOWN = 6


def clean(text: object) -> str:
    """Return a text on one line and without characters that would steer a terminal.

    Example:
        >>> clean("two\\nlines \\x1b[31mred")
        'two lines [31mred'
    """
    return " ".join("".join(c if c.isprintable() else " " for c in str(text)).split())


def printed(text: object) -> str:
    """Return a text as papers have it: on one line, degrees with their sign.

    Example:
        >>> printed("64.6 degC or more")
        '64.6 °C or more'
    """
    return clean(text).replace(" degC", " °C").replace(" degF", " °F")


def short_digest(digest: str) -> str:
    """Return the first figures of a digest, enough to see whether two are the same.

    Example:
        >>> short_digest("sha256:9f2c41aa00")
        '9f2c41'
    """
    return digest.rpartition(":")[2][:DIGEST_SHOWN]


def bare(value: float) -> str:
    """Return a number as short as it can be written, without the noise of its arithmetic.

    Example:
        >>> bare(300.0), bare(37.5), bare(62.353829072479584), bare(0.0016), bare(1200000.0)
        ('300', '37.5', '62.3538', '0.0016', '1200000')
    """
    text = f"{Decimal(f'{value:.6g}'):f}" if abs(value) < 1e6 else f"{value:.0f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def amperes(values: Sequence[float | None], rounding: Rounding = "nearest") -> list[str]:
    """Return currents of one row with the same decimals; None is an empty cell.

    Example:
        >>> amperes([360.8439, 832.71]), amperes([2.083, 4.1667, None])
        (['360.8 A', '832.7 A'], ['2.08 A', '4.17 A', ''])
    """
    smallest = min((abs(value) for value in values if value is not None), default=0.0)
    decimals = 1 if smallest >= 10 else 2
    return ["" if value is None else f"{fixed(value, decimals, rounding)} A" for value in values]


def fault_current(value: float | None) -> str:
    """Return a fault current, in kA from 1 kA on, never below what it is.

    Example:
        >>> fault_current(15750.0), fault_current(850.2), fault_current(None)
        ('15.8 kA', '851 A', '')
    """
    if value is None:
        return ""
    return f"{fixed(value / 1000, 1, 'up')} kA" if value >= 1000 else f"{fixed(value, 0, 'up')} A"
