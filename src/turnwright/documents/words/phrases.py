"""An answer in words: the unit in a sentence, voltage systems as the trade writes them, keys in English."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Any

from turnwright.documents.words.figures import bare, clean
from turnwright.errors import InputError
from turnwright.model.result import Blocks, Finding, Option, Pick, Protection, Question
from turnwright.quantities import VoltageSystem, figure, fixed, parse_system
from turnwright.regimes import traits_of

CAUTION = "Check with local code and a licensed electrician before ordering or wiring."
NOT_COMPUTED = (
    "Not computed: incident energy (arc flash), and selective coordination, which needs the curves of the devices "
    "themselves."
)
"""What a practitioner might look for and nothing here answers."""
SEVERITY_WORDS = {"stop": "stop", "caution": "decide", "note": "note"}

_COUNTS = (
    "No",
    "One",
    "Two",
    "Three",
    "Four",
    "Five",
    "Six",
    "Seven",
    "Eight",
    "Nine",
    "Ten",
    "Eleven",
    "Twelve",
)
_PHASES = {1: "single-phase", 3: "three-phase"}
_KINDS = {
    "isolation": "{count} {phase} {size} unit{s}",
    "autotransformer": "{count} {phase} {size} autotransformer{s}",
    "buck-boost": "{count} {phase} {size} unit{s} connected as {an}autotransformer{s}",
    "bank": "{count} single-phase {size} units as one three-phase bank",
    "open delta": "{count} single-phase {size} units in open delta",
    "zig-zag": "{count} {phase} {size} zig-zag unit{s}",
    "scott": "{count} {phase} {size} unit{s} in Scott connection",
    "high leg": "{count} {phase} {size} unit{s} with a high leg",
}
_BASIS = {
    "dip": "The voltage dip at motor start sets the size.",
    "drop": "The voltage drop sets the size.",
    "momentary": "The short-time demand sets the size.",
    "harmonics": "The harmonics set the size.",
    "neutral": "The neutral sets the size.",
    "insisted": "The size is the one insisted on.",
}


def system_of(text: str) -> VoltageSystem | None:
    """Return the voltage system that a text names, or None when it is not one."""
    try:
        system = parse_system(text, where="")
    except InputError:
        return None
    return system if isinstance(system, VoltageSystem) else None


def volts(text: str) -> str:
    """Return the winding that a system text names, with its unit.

    Example:
        >>> volts("480 delta"), volts("208Y/120"), volts("240 1ph"), volts("24/48")
        ('480 V delta', '208Y/120 V', '240 V', '24/48')
    """
    if system_of(text) is None:
        return text
    figures, _, rest = text.partition(" ")
    return f"{figures} V {rest}".removesuffix(" 3ph").removesuffix(" 1ph").rstrip()


def system_words(text: str) -> str:
    """Return a voltage system with its wires.

    Example:
        >>> system_words("480Y/277"), system_words("120/240 1ph"), system_words("480")
        ('480Y/277 V 4-wire', '120/240 V 1-phase 3-wire', '480 V')
    """
    system = system_of(text)
    if system is None:
        return text
    phase = " 1-phase" if system.phases == 1 else ""
    wires = f" {system.wires}-wire" if system.wires else ""
    return f"{volts(text)}{phase}{wires}"


def system_text(given: object) -> str:
    """Return a voltage system of the job file with its wires, or "" where it is not known."""
    return system_words(given.text) if isinstance(given, VoltageSystem) else ""


def load_label(index: int, name: str | None) -> str:
    """Return a load as people read it.

    Example:
        >>> load_label(0, "mixer"), load_label(1, None)
        ('load 1, mixer', 'load 2')
    """
    return f"load {index + 1}, {name}" if name else f"load {index + 1}"


def fact(job: Mapping[str, Any], key: str) -> str | None:
    """Return what a job says of one key, or None when it is not among its facts."""
    return next((str(one["value"]) for one in job.get("facts") or () if one["key"] == key), None)


def taps_words(taps: Sequence[str]) -> str:
    """Return taps: the ends and the step where they are evenly spaced, else all of them.

    Example:
        >>> taps_words(("+5 %", "+2.5 %", "0 %", "-2.5 %")), taps_words(("+5 %", "two below"))
        ('taps +5 % to -2.5 % by 2.5 %', 'taps +5 %, two below')
    """
    try:
        steps = {round(float(a.rstrip(" %")) - float(b.rstrip(" %")), 6) for a, b in pairwise(taps)}
    except ValueError:  # written in another way
        steps = set()
    if len(taps) > 2 and len(steps) == 1:
        return f"taps {taps[0]} to {taps[-1]} by {bare(abs(steps.pop()))} %"
    return f"taps {', '.join(taps)}" if taps else ""


def code_edition(job: Mapping[str, Any]) -> str:
    """Return the installation code and edition of a job, "NEC 2023"."""
    regime = job.get("regime")
    code = traits_of(str(regime)).code if regime else ""
    return f"{code} {job.get('edition') or ''}".strip()


def kva(value: float) -> str:
    """Return a demand in kVA, never below what it is.

    Example:
        >>> kva(264.0), kva(39.33), kva(249.42), kva(1.181)
        ('264 kVA', '39.4 kVA', '249.5 kVA', '1.19 kVA')
    """
    return f"{fixed(value, 1 if value >= 10 else 2, 'up').rstrip('0').rstrip('.')} kVA"


def _count(number: int) -> str:
    return _COUNTS[number] if number < len(_COUNTS) else str(number)


def of_several(sentence: str, count: int) -> str:
    """Return a sentence about what one or several units do, its verb by their number.

    Example:
        >>> of_several("{unit} does not do this job.", 2), of_several("{unit} does this job.", 1)
        ('{unit} do not do this job.', '{unit} does this job.')
    """
    if count < 2:
        return sentence
    return sentence.replace("{unit} does not do", "{unit} do not do").replace(
        "{unit} does this", "{unit} do this"
    )


def unit_words(pick: Pick) -> str:
    """Return the unit: how many, phases, size, windings, what is special about it."""
    several = pick.units != 1
    words = _KINDS.get(pick.arrangement, "{count} {phase} {size} {arrangement} unit{s}").format(
        count=_count(pick.units),
        phase=_PHASES.get(pick.phases, f"{pick.phases}-phase"),
        size=f"{bare(pick.kva)} kVA",
        arrangement=pick.arrangement,
        s="s" if several else "",
        an="" if several else "an ",
    )
    if pick.lines and several:
        words += f", one for each piece, on lines {lines_words(pick.lines)}"
    secondary = pick.secondary if "/" in pick.secondary else volts(pick.secondary)
    details = [f"{volts(pick.primary)} to {secondary.removesuffix(' 1ph')}"]
    if pick.buck_boost:
        high, low = (bare(value) for value in pick.buck_boost.winding_v)
        through = figure(pick.buck_boost.through_kva, digits=3, rounding="down")
        details = [
            f"windings {high} V and {low} V",
            f"{figure(pick.buck_boost.output_v, digits=4)} V out at {through} kVA",
        ]
    details += [pick.enclosure] if pick.enclosure else []
    details += [_rise_words(pick.rise_k, pick.insulation_c)] if pick.rise_k is not None else []
    details += [f"K-{bare(pick.k_rating)}"] if pick.k_rating is not None and pick.k_rating > 1 else []
    details += ["electrostatic shield"] if pick.shield else []
    return ", ".join([words, *details])


def _rise_words(rise_k: float, insulation_c: float | None) -> str:
    insulation = "" if insulation_c is None else f" on {bare(insulation_c)} °C insulation"
    return f"{bare(rise_k)} K rise{insulation}"


def lines_words(lines: Sequence[str]) -> str:
    """Return the supply lines of several units.

    Example:
        >>> lines_words(("AB", "BC", "CA", "AB"))
        'AB (2), BC, CA'
    """
    return ", ".join(f"{line} ({count})" if count > 1 else line for line, count in Counter(lines).items())


def _load_sentence(blocks: Blocks) -> str:
    demand, it = blocks.demand, "Each" if blocks.pick.lines and blocks.pick.units > 1 else "It"
    if blocks.pick.units > 1 and it == "It":
        verb, it = "carry", "They"
    else:
        verb = "carries"
    grown = (
        f", {kva(demand.kva_with_growth)} with growth" if demand.kva_with_growth > demand.kva * 1.0005 else ""
    )
    return f"{it} {verb} {kva(demand.kva)}{grown} ({fixed(demand.loading_pct, 0, 'up')} %)."


def _listed(currents: Sequence[float]) -> str:
    texts = [f"{bare(value)} A" for value in currents]
    return texts[0] if len(texts) == 1 else f"{', '.join(texts[:-1])} and {texts[-1]}"


def _device_sentence(protection: Protection, several: bool) -> str:
    them = "them" if several else "it"
    kind = {"breaker": " breaker", "fuse": " fuses"}.get(protection.kind, "")
    parts = (
        [f"{bare(protection.primary_a)} A{kind} before {them}"] if protection.primary_a is not None else []
    )
    after = protection.secondary_devices_a or (
        (protection.secondary_a,) if protection.secondary_a is not None else ()
    )
    parts += [f"{_listed(after)}{'' if parts else kind} after {them}"] if after else []
    return f"{', '.join(parts)}." if parts else ""


def answer_sentences(blocks: Blocks) -> list[str]:
    """Return the answer: the unit, what it carries, what sets its size, the devices."""
    sentences = [
        f"{unit_words(blocks.pick)}.",
        _load_sentence(blocks),
        _BASIS.get(blocks.demand.basis, ""),
        _device_sentence(blocks.protection, blocks.pick.units > 1),
    ]
    return [sentence for sentence in sentences if sentence]


def key_words(key: str) -> str:
    """Return a key of the job as people say it; counting starts at 1.

    Example:
        >>> key_words("load[0].power_factor"), key_words("supply.fault_current"), key_words("edition")
        ('load 1 power factor', 'fault current', 'edition')
    """
    words = re.sub(r"\[(\d+)\]", lambda found: f" {int(found[1]) + 1}", key)
    head, _, rest = words.partition(".")
    return _plain(words if head.startswith("load ") or not rest else rest)


def _plain(key: str) -> str:
    return "X/R" if key == "x_over_r" else key.replace(".", " ").replace("_", " ")


def facts_words(facts: Iterable[Mapping[str, Any]]) -> list[str]:
    """Return facts with their values; the same fact of several loads is said once.

    Example:
        >>> one = {"key": "load[0].kind", "value": "general"}
        >>> facts_words([one, one | {"key": "load[2].kind"}, {"key": "edition", "value": "2023"}])
        ['loads 1, 3 kind general', 'edition 2023']
    """
    loads: dict[tuple[str, str], list[str]] = {}
    for one in facts:
        found = re.fullmatch(r"load\[(\d+)\]\.(.+)", one["key"])
        words = _plain(found[2]) if found else key_words(one["key"])
        loads.setdefault((words, shown(one["value"])), []).extend([str(int(found[1]) + 1)] if found else [])
    return [f"{_loads(numbers)}{words} {value}" for (words, value), numbers in loads.items()]


def _loads(numbers: Sequence[str]) -> str:
    if not numbers:
        return ""
    return f"load{'s' if len(numbers) > 1 else ''} {', '.join(numbers)} "


def clause_words(finding: Finding) -> str:
    """Return where a finding comes from and, when that was not read in the source, how it is known."""
    if finding.clause is None:
        return finding.known if finding.known in ("common practice", "assumed", "memory") else ""
    return f"{finding.clause}, from memory" if finding.known == "memory" else finding.clause


_MOVED = {
    "k_rating": ("The K rating", ""),
    "enclosure": ("The enclosure", ""),
    "interrupting_min_a": ("What devices must interrupt", "A"),
    "primary_a": ("The device before it", "A"),
    "secondary_a": ("The device after it", "A"),
    "primary_conductor": ("The conductor before it", ""),
    "secondary_conductor": ("The conductor after it", ""),
}


def moves_words(question: Question) -> str:
    """Return what the answer to a question would move, or why it is asked when nothing is said of that.

    Example:
        >>> moves_words(Question(key="site.place", ask="Where?", why="…", moves={"kva": [300, 500]}))
        'The size moves between 300 and 500 kVA.'
    """
    phrases = []
    for name, ends in question.moves.items():
        pair = ends if isinstance(ends, list | tuple) and len(ends) == 2 else None
        if name in ("answers", "turn"):
            continue
        if name == "possibilities":
            phrases.append("" if "answers" in question.moves else f"It could be {shown(ends)}.")
        elif pair is None:
            phrases.append(f"{key_words(name)}: {shown(ends)}.")
        elif name == "kva":
            same = pair[0] == pair[1]
            phrases.append(
                f"The size stays at {shown(pair[0])} kVA."
                if same
                else f"The size moves between {shown(pair[0])} and {shown(pair[1])} kVA."
            )
        else:
            phrases.append(_moved_words(name, *pair))
    return " ".join(phrase for phrase in phrases if phrase) or str(question.why)


def _moved_words(name: str, low: Any, high: Any) -> str:
    """Say what a number moves between; one that is not known yet has one end."""
    said, unit = _MOVED.get(name.rpartition(".")[2], (key_words(name), ""))
    if low is None or high is None:
        return f"{said} can be told then."
    ends = [figure(one, rounding="up") if isinstance(one, int | float) else shown(one) for one in (low, high)]
    return f"{said} moves between {ends[0]} and {f'{ends[1]} {unit}'.strip()}."


def moves_size(question: Question) -> bool:
    """Return whether an answer to a question would move the size.

    Example:
        >>> moves_size(Question(key="choices.growth", ask="…", why="…", moves={"kva": [75, 75]}))
        False
    """
    ends = question.moves.get("kva") or ()
    return len(set(ends)) > 1


def answers_words(question: Question) -> str:
    """Return what the likely answers lead to; where the size turns, when that is known.

    Example:
        >>> turn = {"at": "20 %", "kva": [75.0, 112.5]}
        >>> answers_words(Question(key="choices.growth", ask="…", why="…", moves={"turn": turn}))
        'Up to 20 %: 75 kVA; above: 112.5 kVA.'
        >>> answers = [{"answer": text, "kva": 25.0} for text in ("208 1ph", "240 1ph")]
        >>> answers_words(Question(key="load[0].system", ask="…", why="…", moves={"answers": answers}))
        '208 1ph, 240 1ph: 25 kVA.'
    """
    groups: dict[str, list[str]] = {}
    for one in question.moves.get("answers") or ():
        groups.setdefault(_size_words(one["kva"]), []).append(shown(one["answer"]))
    turn = question.moves.get("turn")
    if turn is not None and len(groups) <= 2:
        below, above = (_size_words(kva) for kva in turn["kva"])
        return f"Up to {turn['at']}: {below}; above: {above}."
    said = [f"{', '.join(answers)}: {size}" for size, answers in sorted(groups.items(), key=_by_size)]
    return f"{' · '.join(said)}." if said else ""


def _by_size(group: tuple[str, list[str]]) -> float:
    first = group[0].split()[0]
    return float(first) if first[0].isdigit() else float("inf")


def _size_words(kva: Any) -> str:
    if kva is None:
        return "no transformer"
    if isinstance(kva, list | tuple):
        return f"{bare(kva[0])} to {bare(kva[1])} kVA"
    return f"{bare(kva)} kVA"


def shown(value: Any) -> str:
    """Return a value of any kind for people.

    Example:
        >>> shown(0.85), shown(None), shown(True), shown(["AB", 2.0])
        ('0.85', 'not known', 'yes', 'AB, 2')
    """
    if value is None:
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return bare(value)
    if isinstance(value, list | tuple):
        return ", ".join(shown(inner) for inner in value)
    if isinstance(value, Mapping):
        return ", ".join(f"{key} {shown(inner)}" for key, inner in value.items())
    return clean(value)


def build_name(option: Option) -> str:
    """Return what an option is called that is the pick built in another way, or an offer.

    Example:
        >>> from turnwright.model.result import Option
        >>> plain = {"arrangement": "isolation", "status": "fits", "loading_pct": 63.0, "why": ""}
        >>> build_name(Option(kva=75.0, build="80 K rise", **plain))
        '75 kVA, 80 K rise'
        >>> build_name(Option(kva=75.0, build="80 K rise", offer="T-4", **plain))
        'T-4: 75 kVA, 80 K rise'
    """
    size = "" if option.kva is None else f"{bare(option.kva)} kVA"
    told = ", ".join(text for text in (size, option.build) if text)
    return ": ".join(text for text in (option.offer, told) if text)
