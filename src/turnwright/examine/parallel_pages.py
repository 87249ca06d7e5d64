"""The sentences, tables, findings and questions of a study of units in parallel."""

from __future__ import annotations

from turnwright.demand import LoadPicture
from turnwright.examine.parallel_cases import Together
from turnwright.examine.parallel_units import Member, volts_differ
from turnwright.examine.records import Assumed, Grid, Series
from turnwright.examine.words import amps, amps_column, by_row, grid, kva_words, listed, pct
from turnwright.model.result import Finding, Question
from turnwright.quantities import figure
from turnwright.reference import load
from turnwright.regimes import Regime
from turnwright.regimes.said import said

FULL_PCT = 100.0
WITHIN = 1 + 1e-9


def said_of(together: Together) -> tuple[str, ...]:
    """Return the answer in sentences: the shares, what they carry at most, what a tap step does."""
    usual = together.usual
    if usual.near_short:
        worst = max(usual.shares, key=lambda share: share.circulating_pct)
        return (
            "These units must not work in parallel.",
            f"Without any load {worst.name} carries {pct(worst.circulating_pct, 'up')} of its rated current.",
        )
    parts = [f"{share.name} {pct(share.load_pct, 'up')}" for share in usual.shares]
    first = f"Together they carry {kva_words(together.load_kva, 'up')}: {listed(parts)} of rated current."
    rated = sum(member.kva for member in together.members)
    most = usual.limit_kva * WITHIN
    second = f"None is overloaded up to {kva_words(most, 'down')}, of {kva_words(rated)} on the plates."
    apart = max(together.tap_apart.shares, key=lambda share: share.circulating_pct)
    third = (
        f"One tap step apart ({together.tap_step_pct:g} %), {amps(apart.circulating_a, 'up')} circulate without any "
        f"load: {pct(apart.circulating_pct, 'up')} of the rated current of {apart.name}."
    )
    return first, second, third


def grid_of(together: Together) -> Grid:
    """Return the table of the units."""
    shares, members = together.usual.shares, together.members
    columns = (
        [share.name for share in shares],
        [kva_words(member.kva) for member in members],
        [_band(member) for member in members],
        amps_column((share.load_a for share in shares), "up"),
        [pct(share.load_pct, "up") for share in shares],
        [pct(together.worst_pct[share.name], "up") for share in shares],
        amps_column((share.circulating_a for share in shares), "up"),
    )
    heads = ("", "rated", "impedance", "carries", "loaded", "at worst", "circulates")
    return grid("the units under the load of the job", heads, zip(*columns, strict=True))


def _band(member: Member) -> str:
    low, high = member.low.magnitude_pct, member.high.magnitude_pct
    return pct(low) if high - low < 1e-9 else f"{figure(low)}-{figure(high)} %"


def bars_of(together: Together) -> Series:
    """Return the loading by unit."""
    return Series(
        name="loading by unit",
        kind="bars",
        x_name="unit",
        x_unit="",
        y_name="loading",
        y_unit="%",
        x=tuple(share.name for share in together.usual.shares),
        y=tuple(share.load_pct for share in together.usual.shares),
    )


def findings_of(regime: Regime, together: Together) -> tuple[Finding, ...]:
    """Return what there is to say, most severe first."""
    found: list[Finding] = []
    usual = together.usual
    if usual.near_short:
        worst = max(usual.shares, key=lambda share: share.circulating_pct)
        found.append(
            said(
                "near-short",
                "stop",
                f"{worst.name} carries {amps(worst.circulating_a, 'up')} without any load: the volts differ too much.",
                clause="circuit theory",
                value=worst.circulating_pct,
                limit=FULL_PCT,
                unit="%",
            )
        )
    for share in usual.shares:
        worst_pct = together.worst_pct[share.name]
        if share.load_pct > FULL_PCT * WITHIN:
            message = f"{share.name} is loaded to {pct(share.load_pct, 'up')} while the others have room."
            found.append(
                said("unit-overloaded", "stop", message, value=share.load_pct, limit=FULL_PCT, unit="%")
            )
        elif worst_pct > FULL_PCT * WITHIN:
            message = (
                f"{share.name} may be loaded to {pct(worst_pct, 'up')} within what its impedance may be."
            )
            found.append(
                said("unit-may-overload", "caution", message, value=worst_pct, limit=FULL_PCT, unit="%")
            )
    return (*found, *volts_differ(together.members), *_impedances(regime, together), *_code(regime))


def _impedances(regime: Regime, together: Together) -> list[Finding]:
    """The trade's rule for impedances of units in parallel."""
    row = regime.practice.row(key="parallel_impedance_pct")
    sizes = [member.middle.magnitude_pct for member in together.members]
    apart = 100 * (max(sizes) - min(sizes)) / min(sizes)
    if apart <= row.number("value"):
        return []
    return [
        by_row(
            "impedances-differ",
            "caution",
            f"The impedances differ by {pct(apart, 'up')}: the unit with the lowest takes more than its share.",
            row,
            value=apart,
            limit=float(row.number("value")),
            unit="%",
        )
    ]


def _code(regime: Regime) -> list[Finding]:
    """What the installation code asks of units in parallel, where it is carried."""
    if regime.traits.requirements is None:
        return []
    table = load(regime.traits.requirements)
    rows = (table.at(regime.edition) if regime.edition in table.editions else table.newest()).rows
    row = next((row for row in rows if row.key.startswith("parallel")), None)
    if row is None:
        return []
    message = "Switched as one, and each with overcurrent protection of its own as if it stood alone."
    return [by_row("parallel-protection", "note", message, row)]


def questions_of(members: tuple[Member, ...]) -> tuple[Question, ...]:
    """Return what to ask: impedances that are not stated."""
    return tuple(
        Question(
            key=f"unit[{number}].impedance",
            ask=f"What impedance does the nameplate of {member.name} state?",
            assumed=f"{figure(member.low.magnitude_pct)}-{figure(member.high.magnitude_pct)} %",
            why="Units share a load by their impedances.",
        )
        for number, member in enumerate(members)
        if not member.stated
    )


def assumed_of(together: Together, picture: LoadPicture) -> tuple[Assumed, ...]:
    """Return what stands in for facts nobody gave."""
    found = [
        Assumed("all units on the same tap"),
        Assumed("an ideal common supply and bus", "unequal conductors shift the shares"),
        Assumed("between the ends of an impedance its middle; at worst: own low end, others high end"),
    ]
    if picture.power_factor is None:
        found.append(Assumed("power factor 1 for the load", "no load states its angle"))
    return tuple(found)
