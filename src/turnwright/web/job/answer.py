"""An answer as the page shows it: sentences and cells in pieces that open, what changed, what to ask."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from msgspec import Struct

from turnwright.documents.drawing.unit_drawing import unit_drawing
from turnwright.documents.parts.findings import numbers_of
from turnwright.documents.parts.questions import who_answers
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import bare, clean
from turnwright.documents.words.sides import Side, facts_below, side_rows, supply_of
from turnwright.model.job import Job
from turnwright.model.keys import key_of
from turnwright.model.result import Alternative, Blocks, Finding, Option, Question, Result, WorkingLine
from turnwright.narrow.compare import Move
from turnwright.quantities import fixed
from turnwright.web.job.edits import NEW_JOB
from turnwright.web.job.figures import Piece, Pieces, numbers_in, only_explained, parts_of
from turnwright.web.job.paths import field_of

MOST_CHOICES = 10
FIGURE_SPACE = "\u2007"
SIZES_SHOWN = 6
NOT_CHECKED = "-not-checked"
REFUSED = "No transformer does this job as it is given."
NOT_ENOUGH = "Not enough is known yet to pick a transformer."
NOT_COUNTED = "The sizes that are possible cannot be counted yet."
SETTLED = "Nothing still open changes the size."

_SIDES: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "system": (("supply.system",), ()),
    "winding": (("pick.primary", "pick.tap"), ("pick.secondary", "pick.vector_group")),
    "rated current": (("currents.primary_rated_a",), ("currents.secondary_rated_a",)),
    "load current": (("currents.primary_load_a",), ("currents.secondary_load_a",)),
    "neutral current": ((), ("currents.neutral_load_a",)),
    "device": (("protection.primary_a", "…"), ("protection.secondary_a", "protection.secondary_max_a")),
    "devices": ((), tuple(f"protection.secondary_devices_a[{number}]" for number in range(12))),
    "conductors": (("conductors.primary.ampacity_a",), ("conductors.secondary.ampacity_a",)),
    "neutral": ((), ("conductors.neutral.ampacity_a",)),
    "equipment ground": (("grounding.equipment_conductor",), ("grounding.load_equipment_conductor",)),
    "bonding conductor": (("grounding.equipment_conductor",), ("grounding.load_equipment_conductor",)),
    "protective conductor": (("grounding.equipment_conductor",), ("grounding.load_equipment_conductor",)),
    "voltage drop": (("conductors.primary.drop_pct",), ("conductors.secondary.drop_pct",)),
    "largest fault": (("fault.primary_a|supply.fault_current",), ("fault.maximum_a",)),
    "interrupting": (
        ("fault.primary_a|supply.fault_current",),
        ("protection.interrupting_min_a|fault.maximum_a",),
    ),
}
"""Row of the table of sides -> the numbers its two cells show, in their order."""
_BELOW: dict[str, tuple[str, ...]] = {
    "bonding": (
        "grounding.bonding_jumper",
        "grounding.system_bonding_jumper",
        "grounding.electrode_conductor",
    ),
    "earthing": ("grounding.electrode_conductor",),
    "unit": ("pick.frequency_hz", "pick.impedance_pct", "pick.sound_limit_db", "pick.heat_w", "pick.mass_kg"),
    "voltage": (
        "voltage.secondary_no_load_v",
        "voltage.secondary_full_load_v",
        "voltage.regulation_pct",
        "voltage.start_dip_pct",
    ),
    "efficiency law": ("efficiency.at_35_pct", "efficiency.law_pct", "efficiency.loss_ceiling_w"),
}
_SENTENCES = (
    "pick.kva|demand.need[{basis}].kva|demand.loading_pct",
    "pick.rise_k",
    "demand.kva",
    "demand.kva_with_growth",
    "demand.loading_pct",
    "protection.primary_a",
    "protection.secondary_a",
)


class Cell(NamedTuple):
    """What stands in a cell, and what stood there before the last thing given."""

    pieces: Pieces
    was: str = ""


class Row(NamedTuple):
    """A row of the table of two sides."""

    name: str
    supply: Cell
    load: Cell
    size: bool


class Below(NamedTuple):
    """A line about what belongs to neither side."""

    name: str
    cell: Cell


class UnitView(Struct, frozen=True, kw_only=True):
    """A unit, complete: in sentences, on both its sides, what belongs to neither."""

    sentences: tuple[Pieces, ...]
    rows: tuple[Row, ...]
    below: tuple[Below, ...]


class OtherView(Struct, frozen=True, kw_only=True):
    """Something else that would work, or a second transformer."""

    what: str
    why: str
    unit: UnitView | None
    also: tuple[OtherView, ...]


class FindingView(NamedTuple):
    """A finding: its word, what it says, its clause, the rule it is of, whether it is new."""

    word: str
    message: str
    numbers: str
    clause: str
    rule: str
    is_new: bool


class OptionView(NamedTuple):
    """Another size or way; `take` is the size that a button insists on, "" where there is none."""

    name: str
    loading: str
    says: str
    take: str


class Choice(NamedTuple):
    """A likely answer, and what it leads to."""

    answer: str
    words: str
    leads: str


class Asked(Struct, frozen=True, kw_only=True):
    """A question: its field, its words, why, who answers, what stands in, likely answers."""

    key: str
    field: str
    ask: str
    why: str
    who: str
    assumed: str
    moves: str
    choices: tuple[Choice, ...]


def explained(working: Iterable[WorkingLine], job: Mapping[str, Any]) -> frozenset[str]:
    """Return the names of the numbers of an answer that can be unfolded."""
    return frozenset([line.name for line in working] + [str(fact["key"]) for fact in job.get("facts") or ()])


def unit_view(
    blocks: Blocks,
    job: Mapping[str, Any],
    names: Collection[str],
    before: str = "",
    was: Blocks | None = None,
    was_job: Mapping[str, Any] | None = None,
) -> UnitView:
    """Return a unit as the page shows it.

    blocks, job   the numbers, and the job as understood
    names         numbers that can be unfolded
    before        what stands before their names: "instead[0]."
    was, was_job  the same before the last thing given
    """
    shown = [name.format(basis=blocks.demand.basis) for name in _SENTENCES]
    sentences = [
        only_explained(numbers_in(text, [(name, _value(blocks, name)) for name in shown]), names, before)
        for text in phrases.answer_sentences(blocks)
    ]
    return UnitView(
        sentences=tuple(sentences),
        rows=_rows(blocks, job, names, before, was, was_job),
        below=_below(blocks, str(job.get("regime") or ""), names, before, was),
    )


def _value(blocks: Blocks, name: str) -> Any:
    node: Any = blocks
    for part in name.partition("|")[0].split("."):
        node = getattr(node, part, None)
    return node


def _rows(
    blocks: Blocks,
    job: Mapping[str, Any],
    names: Collection[str],
    before: str,
    was: Blocks | None,
    was_job: Mapping[str, Any] | None,
) -> tuple[Row, ...]:
    old = {}
    if was is not None and was_job is not None:
        old = {row.name: row for row in side_rows(was, supply_of(was_job), str(was_job.get("regime") or ""))}
    rows = []
    found = [
        row
        for row in side_rows(blocks, supply_of(job), str(job.get("regime") or ""))
        if row.supply or row.load
    ]
    widths = [max((_whole(cell) for cell in cells if cell), default=0) for cells in _sized(found)]
    for row in found:
        shown = _shown_by(row.name, blocks)
        cells = [
            (Piece(FIGURE_SPACE * (widths[side] - _whole(text))),) * (row.size and text != "")
            + only_explained(parts_of(text, shown[side]), names, before)
            for side, text in enumerate((row.supply, row.load))
        ]
        wases = _was(row, old.get(row.name)) if old else ("", "")
        rows.append(Row(row.name, Cell(cells[0], wases[0]), Cell(cells[1], wases[1]), row.size))
    return tuple(rows)


def _sized(rows: Sequence[Side]) -> tuple[list[str], list[str]]:
    """Return the sizes of both columns that stand under each other."""
    return [row.supply for row in rows if row.size], [row.load for row in rows if row.size]


def _whole(text: str) -> int:
    """Return how many figures stand before the point of a size."""
    return len(text.partition(" ")[0].partition(".")[0])


def _shown_by(name: str, blocks: Blocks) -> tuple[tuple[str, ...], tuple[str, ...]]:
    supply, load = _SIDES.get(name, ((), ()))
    if name == "device":
        alone = blocks.protection.primary_limit_a == blocks.protection.primary_only_max_a
        limit = "primary_only_max_a" if alone else "primary_with_secondary_max_a"
        supply = (supply[0], f"protection.{limit}")
    return supply, load


def _was(row: Side, earlier: Side | None) -> tuple[str, str]:
    """Return what stood in both cells before, where it was something else."""
    pairs = ((row.supply, earlier.supply if earlier else ""), (row.load, earlier.load if earlier else ""))
    supply, load = ("" if now == then else (then or "nothing") for now, then in pairs)
    return supply, load


def _below(
    blocks: Blocks, regime: str, names: Collection[str], before: str, was: Blocks | None
) -> tuple[Below, ...]:
    old = dict(facts_below(was, regime)) if was is not None else {}
    found = []
    for name, text in facts_below(blocks, regime):
        if text:
            values = [(path, _value(blocks, path)) for path in _BELOW.get(name, ())]
            pieces = only_explained(numbers_in(text, values), names, before)
            earlier = old.get(name, "") if old else text
            found.append(Below(name, Cell(pieces, "" if earlier == text else earlier or "nothing")))
    return tuple(found)


def others(
    found: Iterable[Alternative], job: Mapping[str, Any], names: Collection[str], path: str
) -> tuple[OtherView, ...]:
    """Return what would work instead, or further transformers; `path` is where they stand in the result."""
    return tuple(
        OtherView(
            what=clean(other.what),
            why=clean(other.why),
            unit=unit_view(other.blocks, job, names, f"{path}[{at}].") if other.blocks is not None else None,
            also=others(other.also, job, names, f"{path}[{at}].also"),
        )
        for at, other in enumerate(found)
    )


def verdict_words(result: Result) -> str:
    """Return the answer in its first words, where nothing was picked."""
    return REFUSED if result.verdict == "refused" else NOT_ENOUGH


def range_words(result: Result) -> str:
    """Return which sizes are possible, where there is more than one, and what it hangs on."""
    if result.range_kva is None:
        return NOT_COUNTED if result.verdict == "needs-input" else ""
    low, high = (bare(end) for end in result.range_kva)
    if low == high:
        return "" if result.blocks else f"What is known points to {low} kVA."
    hangs_on = [_key_words(one.key) for one in result.questions if phrases.moves_size(one)][:3]
    why = f"; it hangs on {', '.join(hangs_on)}" if hangs_on else ""
    return f"What is known leaves {low} to {high} kVA possible{why}."


def _key_words(key: str) -> str:
    return (
        "the supply"
        if key == "supply.system"
        else phrases.key_words(key).replace(" system", " volts and phases")
    )


def moved_words(move: Move) -> str:
    """Return what the last thing given moved, in a sentence.

    Example:
        >>> moved_words(Move("", {"pick.kva": (75.0, 112.5), "currents.primary_rated_a": (90.2, 135.3)}, (), ("band",)))
        'The size went from 75 to 112.5 kVA; 1 other number moved; 1 finding is new.'
    """
    said = []
    changes = dict(move.result)
    verdict = changes.pop("verdict", None)
    if verdict:
        said.append(f"the answer went from {_verdict(verdict[0])} to {_verdict(verdict[1])}")
    sizes = changes.pop("pick.kva", None)
    loading = changes.pop("demand.loading_pct", None)
    if sizes and None not in sizes:
        said.append(f"the size went from {bare(sizes[0])} to {bare(sizes[1])} kVA")
    elif loading and None not in loading:
        said.append("the size stays")
    if loading and None not in loading:
        said.append(f"its loading went from {_percent(loading[0])} to {_percent(loading[1])}")
    numbers = sum(1 for pair in changes.values() if pair[0] is not None and pair[1] is not None)
    if numbers:
        other = "other " if sizes or loading else ""
        said.append(f"{numbers} {other}{'number' if numbers == 1 else 'numbers'} moved")
    if move.new:
        said.append(f"{len(move.new)} {'finding is' if len(move.new) == 1 else 'findings are'} new")
    if move.gone:
        said.append(f"{len(move.gone)} {'finding' if len(move.gone) == 1 else 'findings'} fell away")
    text = "; ".join(said)
    return f"{text[:1].upper()}{text[1:]}." if text else "Nothing in the answer moved."


def _percent(value: float) -> str:
    return f"{fixed(value, 0, 'up')} %"


def _verdict(word: Any) -> str:
    return {"selected": "a pick", "refused": "a refusal", "needs-input": "not enough known"}.get(
        str(word), str(word)
    )


def findings(
    found: Iterable[Finding], rules: Collection[str], new: Collection[str]
) -> dict[str, list[FindingView]]:
    """Return the findings by word, and under "not checked" what no rule could look at."""
    views: dict[str, list[FindingView]] = {"stop": [], "decide": [], "note": [], "not checked": []}
    for finding in found:
        code = finding.code.removesuffix(NOT_CHECKED)
        word = phrases.SEVERITY_WORDS[finding.severity]
        group = "not checked" if finding.code.endswith(NOT_CHECKED) else word
        views[group].append(
            FindingView(
                word,
                clean(finding.message),
                numbers_of(finding),
                phrases.clause_words(finding),
                code if code in rules else "",
                finding.code in new,
            )
        )
    return views


def options(result: Result) -> tuple[list[OptionView], list[OptionView]]:
    """Return the other sizes of the same way, nearest first in their order, then other ways, builds and offers."""
    pick = result.pick
    plain = [o for o in result.options if not o.is_other_build]
    same = [o for o in plain if pick and o.arrangement == pick.arrangement and o.kva != pick.kva]
    ways = [o for o in plain if not pick or o.arrangement != pick.arrangement]
    ways += [o for o in result.options if o.is_other_build]
    if pick:
        nearest = sorted(same, key=lambda o: abs((o.kva or 0.0) - pick.kva))[:SIZES_SHOWN]
        same = [o for o in same if o in nearest]
    return [_option(o, size_only=True) for o in same], [_option(o, size_only=False) for o in ways]


def _option(option: Option, size_only: bool) -> OptionView:
    size = f"{bare(option.kva)} kVA" if option.kva is not None else ""
    name = size if size_only else f"{option.arrangement} {size}".strip()
    name = phrases.build_name(option) if option.is_other_build else name
    said = option.status in option.why.casefold()
    says = option.why if said else "; ".join(text for text in (option.status, option.why) if text)
    loading = f"{fixed(option.loading_pct, 0, 'up')} %" if option.loading_pct is not None else ""
    return OptionView(name, loading, clean(says), size if size_only and option.status == "fits" else "")


def asked(question: Question) -> Asked:
    """Return a question as the page shows it."""
    offered = tuple(_choices(question))
    told = any(choice.leads for choice in offered) and "turn" not in question.moves
    moves = "" if told else phrases.answers_words(question) or phrases.moves_words(question)
    why = clean(question.why)
    return Asked(
        key=question.key,
        field=field_of(question.key) or question.key,
        ask=clean(question.ask),
        why=why,
        who=who_answers(question.key),
        assumed="" if question.assumed is None else phrases.shown(question.assumed),
        moves="" if moves == question.why else moves,
        choices=offered,
    )


def _choices(question: Question) -> Sequence[Choice]:
    """Return the likely answers: those the engine tried, else the words of the key."""
    found = [
        Choice(phrases.shown(one["answer"]), phrases.shown(one["answer"]), _leads(one))
        for one in question.moves.get("answers") or ()
    ][:MOST_CHOICES]
    key = key_of(question.key)
    if not found and key is not None:
        words = [("true", "yes"), ("false", "no")] if key.kind == "yes/no" else []
        words += [(word, word) for word in key.words] if key.kind == "word" else []
        found = [Choice(answer, said, "") for answer, said in words[:MOST_CHOICES]]
    return found


def _leads(answer: Mapping[str, Any]) -> str:
    kva = answer.get("kva")
    if kva is None:
        return "no transformer" if answer.get("verdict") == "refused" else "more to ask"
    return f"{bare(kva[0])} to {bare(kva[1])} kVA" if isinstance(kva, list | tuple) else f"{bare(kva)} kVA"


def job_words(text: str, job: Job) -> str:
    """Say which job it is, shortly; nothing for one of which nothing is known yet."""
    if text == NEW_JOB:
        return ""
    supply = phrases.system_text(job.supply.system) or "a supply that is not known"
    loads = len(job.load)
    return f"{job.title or 'The job'}: {loads} load{'s' if loads != 1 else ''} on {supply}."


def drawing(result: Result) -> tuple[str, str] | None:
    """Return the drawing of the pick as SVG with its caption."""
    if result.blocks is None:
        return None
    figure = unit_drawing(result.blocks, "T1", supply_of(result.job), str(result.job.get("regime") or ""))
    return (figure.svg, figure.caption) if figure is not None else None


def plain(text: str) -> Pieces:
    """Return a text in one piece."""
    return (Piece(text),)
