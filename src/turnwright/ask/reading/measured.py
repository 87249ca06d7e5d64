"""Measured volts and running times: sizes that say more together than each alone."""

from __future__ import annotations

import re

from turnwright.ask.reading.atoms import Atom
from turnwright.ask.reading.mention import Mention
from turnwright.ask.reading.stream import Stream
from turnwright.quantities import convert
from turnwright.quantities.spelling import plain
from turnwright.reference import load

_MEASURED = re.compile(
    r"\b(?:measur\w+|reads|reading|readings|metered|meter (?:shows|says|reads)|multimeter \w+)\b[^|<]{0,40}"
    r"((?:<[VN]\d+>(?: ?(?:,|/|-|and|to) ?(?:and )?)?)+)([^|<]{0,30})"
)
_MEASURED_BEHIND = re.compile(r"<[VN](\d+)> (?:measured|metered|on the meter|by (?:my|the) meter)\b(?! <)")
_DAILY = re.compile(
    r"<D(\d+)>(?: (?:a|per|each|every) (?:day|shift|night|week ?day)| daily\b"
    r"| at a (?:time|stretch)| straight| shifts?\b"
    r"| on end| (?:firings?|runs|cycles|burns|bakes)\b)"
)
_YEARLY = re.compile(r"<D(\d+)> (?:an?|per|each|every|/) (?:year|annum)\b")
_TIMES = re.compile(
    r"<D(\d+)> (?:on )?(?:every|out of(?: every)?|of every|in every|per|each|in each) <D(\d+)>"
)


def measured(stream: Stream, taken: set[int]) -> list[Mention]:
    """Return measured volts, line to line or to ground; their atoms are added to `taken`."""
    found: list[Mention] = []
    for match in _MEASURED_BEHIND.finditer(stream.line):
        index = int(match[1])
        value = _values(stream.atoms[index])[0]
        if 50 <= value <= 1000 and index not in taken:
            place = {"start": match.start(), "end": match.end()}
            found.append(Mention(key="supply.measured", value=[f"{plain(value)} V"], **place))
            taken.add(index)
    for match in _MEASURED.finditer(stream.line):
        numbers = [int(one) for one in re.findall(r"<[VN](\d+)>", match[1])]
        values = [value for number in numbers for value in _values(stream.atoms[number])]
        if (
            len(values) == 2
            and re.search(r" (?:to|-) ", match[1])
            and values[0] < values[1] < 1.3 * values[0]
        ):
            texts = [f"{plain(values[0])}..{plain(values[1])} V"]
            found.append(Mention(key="supply.measured", value=texts, start=match.start(), end=match.end(1)))
            taken.update(numbers)
            continue
        if len(values) not in (1, 3) or not all(50 <= value <= 1000 for value in values):
            continue
        if re.match(r"[^|<]*\bto neutral\b", match[2]):
            continue
        ground = re.search(r"\bto (?:ground|earth)\b|\bl ?- ?g\b", match.group() + match[2]) is not None
        key = "supply.measured_to_ground" if ground else "supply.measured"
        texts = [f"{plain(value)} V" for value in values]
        found.append(Mention(key=key, value=texts, start=match.start(), end=match.end(1)))
        taken.update(numbers)
    return found


_PHASES_SAID = re.compile(
    r"\b(?:measur\w+|reads?|readings?|metered|clamp\w*|phases?|legs?|amps on)\b[^|<]{0,30}"
    r"((?:<[NA]\d+>,? (?:a |amps )?(?:, |/ |and |& |- )+){2}<A\d+>)"
)


def phase_currents(stream: Stream, taken: set[int]) -> list[Mention]:
    """Return the highest of the currents read in three phases; their atoms are added to `taken`."""
    found: list[Mention] = []
    for match in _PHASES_SAID.finditer(stream.line):
        numbers = [int(one) for one in re.findall(r"<[NA](\d+)>", match[1])]
        highest = max((stream.atoms[number] for number in numbers), key=lambda atom: atom.high)
        if taken & set(numbers) or not highest.high:
            continue
        taken.update(numbers)
        unit = stream.atoms[numbers[-1]].text.rpartition(" ")[2]
        place = {"start": match.start(1), "end": match.end(1)}
        found.append(Mention(key="load.current", value=f"{plain(highest.high)} {unit}", **place))
        found.append(Mention(key="load.measured_demand", value=True, **place))
    return found


def _values(atom: Atom) -> tuple[float, ...]:
    return atom.more.values if atom.kind == "V" else (atom.low,)


_ON_OFF = re.compile(r"<D(\d+)> on ?(?:,|/|and|then)? ?<D(\d+)> off\b")


_PRICE = re.compile(
    r"(?:#|<N(\d+)> cents)(?: \( ?# ?\))? ?(?:/|per|an?|each) kwh\b(?: ?\(? ?(cad|usd|eur|gbp)\b)?"
)
_MONEY = re.compile(r"(?:(\$|€|£)\s?([\d.]+)|([\d.]+)\s?(usd|eur|cad|gbp|€|£))", re.IGNORECASE)
_SIGNS = {"$": "USD", "€": "EUR", "£": "GBP"}


def energy(stream: Stream) -> list[Mention]:
    """Return the price of energy."""
    for match in _PRICE.finditer(stream.line):
        place = {"start": match.start(), "end": match.end()}
        if match[1] is not None:
            unit = (match[2] or "usd").upper()
            cents = stream.atoms[int(match[1])].low
            return [Mention(key="choices.price_kwh", value=f"{plain(cents / 100)} {unit}", **place)]
        low, high = stream.span(match.start(), match.start() + 1)
        money = _MONEY.search(stream.text[low:high])
        if money is not None:
            unit = money[1] or money[4]
            value = f"{money[2] or money[3]} {_SIGNS.get(unit, unit.upper())}"
            return [Mention(key="choices.price_kwh", value=value, **place)]
    return []


def running_times(stream: Stream, taken: set[int]) -> list[Mention]:
    """Return what times say: hours a day, seconds on in each period; their atoms are added to `taken`."""
    found: list[Mention] = []
    for match in _ON_OFF.finditer(stream.line):
        on_s, off_s = (_seconds(stream.atoms[int(number)]) for number in match.groups())
        place = {"start": match.start(), "end": match.end()}
        if on_s + off_s > 0:
            share = f"{on_s / (on_s + off_s) * 100:.4g} %"
            found.append(Mention(key="load.duty.on", value=share, **place))
            found.append(Mention(key="load.duty.period", value=f"{plain(on_s + off_s)} s", **place))
            taken.update(int(number) for number in match.groups())
    for match in _TIMES.finditer(stream.line):
        on, period = (stream.atoms[int(number)] for number in match.groups())
        on_pct = _seconds(on) / _seconds(period) * 100
        if 0 < on_pct <= 100:
            place = {"start": match.start(), "end": match.end()}
            found.append(Mention(key="load.duty.on", value=f"{on_pct:.4g} %", **place))
            found.append(Mention(key="load.duty.period", value=period.text, **place))
            taken.update(int(number) for number in match.groups())
    for match in _YEARLY.finditer(stream.line):
        index = int(match[1])
        hours = _seconds(stream.atoms[index]) / 3600
        if index not in taken and 24 < hours <= 8784:
            found.append(
                Mention(
                    key="choices.hours_per_year", value=plain(hours), start=match.start(), end=match.end()
                )
            )
            taken.add(index)
    for match in _DAILY.finditer(stream.line):
        index = int(match[1])
        if index not in taken:
            hours = _seconds(stream.atoms[index]) / 3600
            is_long = hours >= load("nec_limits").newest().row(key="continuous_hours").number("value")
            found.append(
                Mention(key="load.continuous", value=bool(is_long), start=match.start(), end=match.end())
            )
            taken.add(index)
    return found


def _seconds(atom: Atom) -> float:
    return convert(atom.high, "time", to="s", of=atom.text.rpartition(" ")[2])
