"""A small isolating unit in series with the line, for a voltage that is a little off: buck-boost."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt
from typing import Literal, NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from turnwright.arrangements.autotransformer import grounding_passes
from turnwright.arrangements.outputs import same_volts, winding, wye_of
from turnwright.arrangements.proposal import Arrangement, Ask, Build, NominalSystem, NotServed, Proposal
from turnwright.arrangements.rated import at_output_volts, motor_allowance
from turnwright.arrangements.wishes import Accepted, accepted, asks_neutral, in_line_wish
from turnwright.circuit import connections
from turnwright.demand import LoadPicture
from turnwright.model.case import Case
from turnwright.model.result import Finding
from turnwright.quantities import VoltageSystem
from turnwright.reference import load as table
from turnwright.working import formula

NAME = "buck-boost"
NEUTRAL = "N"
Direction = Literal["boost", "buck"]


class Input(Struct, frozen=True):
    """What it is fed with: volts across input and return, the lines, the same as measured."""

    volts: float
    lines: tuple[str, ...]
    measured_v: tuple[float, ...]

    @property
    def usual_v(self) -> float:
        """The mean of what was measured, else nominal."""
        return sum(self.measured_v) / len(self.measured_v) if self.measured_v else self.volts


class Pair(NamedTuple):
    """Windings of a unit as its coils are linked, and the sizes there are."""

    common_v: float
    series_v: float
    kva_min: float
    kva_max: float


class Windings(NamedTuple):
    """A pair as it is connected: direction, output volts at nominal and at measured input."""

    common_v: float
    series_v: float
    kva_min: float
    kva_max: float
    direction: Direction
    output_v: float
    measured_out_v: tuple[float, ...]

    @property
    def ratio(self) -> float:
        """Output over input."""
        ratio = 1 + self.series_v / self.common_v
        return ratio if self.direction == "boost" else 1 / ratio


@formula("V_in · (1 + V_series / V_common)", "V")
def boosted_v(input_v: float, common_v: float, series_v: float) -> float:
    """Return the output of a unit whose second winding adds to the input. [V]

    input_v  : applied, across the first winding [V]
    common_v : rated volts of the first winding [V]
    series_v : rated volts of the second winding [V]
    Source: turns ratio

    Example:
        >>> round(boosted_v(input_v=208.0, common_v=240.0, series_v=24.0), 1)
        228.8
    """
    return input_v * (1 + series_v / common_v)


@formula("V_in / (1 + V_series / V_common)", "V")
def bucked_v(input_v: float, common_v: float, series_v: float) -> float:
    """Return the output of a unit whose second winding takes away from the input. [V]

    input_v  : applied [V]
    common_v : rated volts of the first winding, which lies across the output [V]
    series_v : rated volts of the second winding [V]
    Source: turns ratio

    Example:
        >>> round(bucked_v(input_v=240.0, common_v=240.0, series_v=24.0), 1)
        218.2
    """
    return input_v / (1 + series_v / common_v)


@formula("allowance · I · k · V_series / 1000 / derating", "kVA")
def series_winding_kva(
    current_a: float, current_ratio: float, series_v: float, allowance: float, derating: float
) -> float:
    """Return the rating of one unit: the current through its second winding times the volts of that. [kVA]

    current_a     : of the line on the load side, with growth [A]
    current_ratio : current through the second winding over that: 1 boosting, output over input volts bucking [-]
    series_v      : rated volts of the second winding [V]
    allowance     : load with the largest motor's allowance over the load without it [-]
    derating      : usable share of the rated power [-]
    Source: definition of the rated power of a winding

    Example:
        >>> series_winding_kva(16.0, 1.0, 24.0, 1.0, 1.0)
        0.384
    """
    return allowance * current_a * current_ratio * series_v / 1000 / derating


def propose(case: Case, nominal: tuple[NominalSystem, ...]) -> tuple[Proposal, ...] | NotServed:
    """Return the buck-boost connection whose output every load accepts, at nominal and at measured supply."""
    found = connect(case, usual_pairs(), case.choices.arrangement == NAME)
    return found if isinstance(found, NotServed) else (found,)


def usual_pairs() -> tuple[Pair, ...]:
    """Return every usual unit in every connection of its two coils a side."""
    return tuple(
        Pair(float(common), float(series), float(row.number("kva_min")), float(row.number("kva_max")))
        for row in table("us_buck_boost").newest().rows
        for common in (row.number("primary_series_v"), row.number("primary_parallel_v"))
        for series in (row.number("secondary_series_v"), row.number("secondary_parallel_v"))
    )


def connect(case: Case, pairs: tuple[Pair, ...], insisted: bool) -> Proposal | NotServed:
    """Return how units with one of these winding pairs serve the case, or why they do not.

    insisted : a correction below the usual ones is no reason against it
    """
    wish = in_line_wish(case, "Buck-boost", common_neutral=insisted)
    if isinstance(wish, NotServed):
        return wish
    output = wish
    with_neutral = output.neutral_v is not None or any(asks_neutral(load) for load in case.loads)
    wanted = accepted(case.loads)
    feed = _feed(case, output, wanted, with_neutral, insisted)
    if output.phases == 3 and with_neutral:  # three in star: each unit sees the volts to neutral
        wanted = wanted.to_neutral()
    unusual = _unusual(feed, wanted, insisted)
    if unusual is not None:
        return unusual
    found = best_windings(feed, wanted, pairs)
    if isinstance(found, NotServed):
        return found
    return _proposal(case, output, feed, found, wanted, with_neutral)


def _unusual(feed: Input, wanted: Accepted, insisted: bool) -> NotServed | None:
    """Why the correction is none for buck-boost: too small to bother, or too large to be economical."""
    correction = correction_pct(feed.usual_v, wanted.plate_v)
    practice = table("trade_practice").newest()
    low, high = (
        float(practice.row(key=key).number("value")) for key in ("buck_boost_low_pct", "buck_boost_high_pct")
    )
    if low <= correction <= high or (insisted and correction < low):
        return None
    small = correction < low
    return NotServed(
        code="small-correction" if small else "large-correction",
        message=(
            f"From {feed.usual_v:.4g} V to {wanted.plate_v:.4g} V is {correction:.{1 if small else 0}f} %: buck-boost "
            f"is for {low:g} to {high:g} %."
        ),
        known="common practice",
        shown=insisted,
    )


@formula("(V_high / V_low − 1) · 100", "%")
def correction_pct(input_v: float, wanted_v: float) -> float:
    """Return by how much a voltage is off, over the lower of both. [%]

    input_v  : of the supply [V]
    wanted_v : of the nameplate [V]
    Source: definition

    Example:
        >>> round(correction_pct(input_v=208.0, wanted_v=230.0), 1)
        10.6
    """
    return (max(input_v, wanted_v) / min(input_v, wanted_v) - 1) * 100


def _feed(
    case: Case, output: VoltageSystem, wanted: Accepted, with_neutral: bool, to_neutral_too: bool
) -> Input:
    """Return what each unit is fed with: two lines, or where it is asked for the nearer of both single-phase voltages.

    to_neutral_too : a line and the neutral may feed a single-phase load
    """
    supply = case.supply
    system = supply.system
    measured = tuple(float(volts) for volts in supply.measured_v)
    lines = ("A", "B", "C") if output.phases == 3 else ("A", "B")
    feeds = [Input(float(system.line_v), lines, measured)]
    if system.neutral_v is not None:
        ratio = sqrt(3) if system.connection == "wye" else 2.0
        to_neutral = tuple(volts / ratio for volts in measured)
        if output.phases == 3 and with_neutral:
            return Input(float(system.line_v) / ratio, lines, to_neutral)
        if output.phases == 1 and to_neutral_too:
            neutral_v = float(system.neutral_nominal_v or system.neutral_v)
            feeds.append(Input(neutral_v, ("A", NEUTRAL), to_neutral))
    return min(feeds, key=lambda feed: correction_pct(feed.usual_v, wanted.plate_v))


def best_windings(feed: Input, wanted: Accepted, pairs: tuple[Pair, ...]) -> Windings | NotServed:
    """Return the windings whose output deviates least from the nameplate, over nominal and measured input."""
    found = list(_windings(feed, wanted, pairs))
    if not found:
        return NotServed(
            code="no-winding-pair",
            message=f"No usual winding pair takes {feed.volts:g} V: its windings are rated for less.",
            known="memory",
        )

    def deviation(one: Windings) -> float:
        return max(abs(volts / wanted.plate_v - 1) for volts in (one.output_v, *one.measured_out_v))

    best = min(found, key=lambda one: (round(deviation(one), 9), one.series_v))
    off_pct = abs(best.output_v / wanted.plate_v - 1) * 100
    most = table("trade_practice").newest().row(key="buck_boost_off_pct").number("value")
    if not feed.measured_v and off_pct > most * (1 + 1e-9):
        return NotServed(
            code="no-winding-pair",
            message=(
                f"The nearest usual winding pair, {best.common_v:g} and {best.series_v:g} V, gives "
                f"{best.output_v:.1f} V, "
                f"{off_pct:.1f} % off {wanted.plate_v:g} V at nominal supply: over {most:g} % leaves no room for "
                "its swings."
            ),
            known="assumed",
        )
    outputs = (best.output_v, *best.measured_out_v)
    if not wanted.low_v <= min(outputs) <= max(outputs) <= wanted.high_v:
        return NotServed(
            code="no-winding-pair",
            message=(
                f"The nearest usual winding pair, {best.common_v:g} and {best.series_v:g} V, gives "
                f"{min(outputs):.1f} to {max(outputs):.1f} V; {wanted.low_v:.0f} to {wanted.high_v:.0f} V is accepted."
            ),
            known="memory",
        )
    return best


def _windings(feed: Input, wanted: Accepted, pairs: tuple[Pair, ...]) -> Iterator[Windings]:
    """Yield every pair whose first winding stands the volts across it."""
    up = wanted.plate_v > feed.usual_v
    limit = table("equipment_limits").newest().row(key="transformer_full_load_voltage_pct").number("value")
    out = boosted_v if up else bucked_v
    for pair in pairs:
        output_v = out(feed.volts, pair.common_v, pair.series_v)
        measured = tuple(out(volts, pair.common_v, pair.series_v) for volts in feed.measured_v)
        across = (feed.volts, *feed.measured_v) if up else (output_v, *measured)
        if max(across) <= pair.common_v * limit / 100:
            yield Windings(*pair, "boost" if up else "buck", output_v, measured)


def _proposal(
    case: Case,
    output: VoltageSystem,
    feed: Input,
    found: Windings,
    wanted: Accepted,
    with_neutral: bool,
) -> Proposal:
    phases = output.phases or 3
    units = 1 if phases == 1 else 3 if with_neutral else 2
    to_line = sqrt(3) if units == 3 else 1.0
    input_v, line_v = feed.volts * to_line, found.output_v * to_line
    ratio = found.series_v / max(input_v, line_v)
    named = float(f"{line_v:.4g}")
    wye = with_neutral and phases == 3
    got = replace(wye_of(named) if wye else winding(f"{named:g} {phases}ph"), line_v=line_v)
    return Proposal(
        arrangement=NAME,
        phases=phases,
        unit_phases=1,
        units=units,
        primary=winding(f"{input_v:.4g} {phases}ph"),
        secondary=got,
        output=got,
        load_system=output,
        lines=feed.lines,
        vector_group=None,
        derived=False,
        covered=False,
        why=(
            f"A small unit in series with the line changes {input_v:.4g} V to {line_v:.1f} V; "
            "no isolation and no new neutral are asked for."
        ),
        rank=20 if case.choices.kva is not None else -1,
        build=_build(units, feed, found),
        share=ratio / sqrt(3) if phases == 3 else ratio,
        drop_share=ratio**2,
        size_limits_kva=(found.kva_min, found.kva_max),
        asks=lambda picture: _asks(picture, found, units),
        adapt=lambda picture, work: at_output_volts(case, picture, line_v, work),
        winding_v=(found.common_v, found.series_v),
        tapped=False,
        remarks=lambda: _remarks(case, feed, found, wanted),
    )


def _build(units: int, feed: Input, found: Windings) -> Build:
    pair = (found.common_v, found.series_v)
    if units == 1:
        common = "X2" if NEUTRAL in feed.lines else "H2"
        return lambda kva, resistance_pct, reactance_pct: connections.buck_boost(
            "T1", kva, pair, resistance_pct, reactance_pct, found.direction,
            line_in="H1", line_out="X1", common=common,
        )  # fmt: skip
    if units == 2:
        return lambda kva, resistance_pct, reactance_pct: connections.buck_boost_open_delta(
            "T1", kva, pair, resistance_pct, reactance_pct, found.direction
        )
    return lambda kva, resistance_pct, reactance_pct: connections.buck_boost_wye(
        "T1", kva, pair, resistance_pct, reactance_pct, found.direction
    )


def _asks(picture: LoadPicture, found: Windings, units: int) -> tuple[Ask, ...]:
    """Two units in open delta sit in the lines A and C, the line B passes straight through."""
    carrying = (picture.line_a[0], picture.line_a[2]) if units == 2 else picture.line_a
    inputs = {
        "current_a": max(carrying),
        "current_ratio": 1.0 if found.direction == "boost" else found.ratio,
        "series_v": found.series_v,
        "allowance": motor_allowance(picture),
    }
    return (
        Ask(
            basis="heat",
            why="current through the series winding",
            formula=series_winding_kva,
            inputs=inputs,
            running=inputs | {"allowance": 1.0},
        ),
    )


def _remarks(case: Case, feed: Input, found: Windings, wanted: Accepted) -> tuple[Finding, ...]:
    found_out = _output(feed, found, wanted)
    return (*grounding_passes(case), found_out, *_ask_plate(feed, wanted))


def _ask_plate(feed: Input, wanted: Accepted) -> Iterator[Finding]:
    """Where the supply is not the voltage of the plate, the plate may say a range."""
    if same_volts(feed.volts, wanted.plate_v):
        return
    off = (feed.volts / wanted.plate_v - 1) * 100
    yield Finding(
        code="ask-nameplate-range",
        severity="caution",
        message=(
            f"Ask the maker first whether the equipment accepts {feed.volts:.4g} V ({off:+.1f} % of its "
            f"{wanted.plate_v:.4g} V): many plates say a range, and then nothing is needed."
        ),
        known="common practice",
        value=feed.volts,
        limit=wanted.low_v,
        unit="V",
    )


def _output(feed: Input, found: Windings, wanted: Accepted) -> Finding:
    """What comes out at nominal and at measured input, against what the equipment accepts."""
    pairs = [(feed.volts, found.output_v), *zip(feed.measured_v, found.measured_out_v, strict=True)]
    said = ", ".join(f"{out_v:.1f} V at {in_v:.4g} V" for in_v, out_v in dict.fromkeys(pairs))
    worst = max((out_v for _, out_v in pairs), key=lambda volts: abs(volts - wanted.plate_v))
    return Finding(
        code="buck-boost-output",
        severity="note",
        message=(
            f"The output follows the supply: {said}. The equipment accepts {wanted.low_v:.0f} to "
            f"{wanted.high_v:.0f} V ({wanted.plate_v:.4g} V ± {wanted.within_pct:g} %)."
        ),
        known="computed",
        value=worst,
        limit=wanted.low_v if worst < wanted.plate_v else wanted.high_v,
        unit="V",
    )


BUCK_BOOST = Arrangement(
    name=NAME,
    says="a small unit in series with the line for 5 to 20 % more or less volts; no isolation, no new neutral",
    propose=propose,
)
