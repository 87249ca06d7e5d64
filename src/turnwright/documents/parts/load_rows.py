"""The load list by phase, as rows of a sheet."""

from __future__ import annotations

from collections.abc import Mapping

from turnwright.documents.brief import Brief, units_of
from turnwright.documents.parts.loads import Facts, cell_of, facts_by_load, label_of, power_factor_of, size_of
from turnwright.documents.report import Cell
from turnwright.documents.sheets import Entry, Formula, Num, Sheet, above
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import bare
from turnwright.model.result import WorkingLine

PHASES = ("A", "B", "C")
KVA_COLUMN = "E"
Steps = Mapping[str, WorkingLine]


def loads(brief: Brief) -> Sheet:
    """Return the load list: each load with its kVA on A, B and C, sums as formulas."""
    steps: dict[str, WorkingLine] = {line.name: line for line in brief.result.working}
    columns = (
        ("load", 26), ("asks for", 10), ("size of one", 11), ("pieces", 8), ("running kVA", 10),
        ("placed on", 18), ("A kVA", 9), ("B kVA", 9), ("C kVA", 9), ("running A", 10),
        ("power factor", 18), ("continuous", 12), ("remarks", 30),
    )  # fmt: skip
    facts = sorted(facts_by_load(brief.result).items())
    rows = tuple(_row(index, of_load, steps, brief) for index, of_load in facts)
    return Sheet(
        name="loads",
        title="Load list by phase",
        columns=columns,
        rows=rows,
        foot=_foot(rows, brief),
        notes=(
            "Running kVA of all pieces with their demand factor, before growth; sums of this sheet add in line.",
            "A three-phase load counts a third on each phase, a load between two lines half on each of them.",
        ),
    )


def _row(index: int, facts: Facts, steps: Steps, brief: Brief) -> tuple[Entry, ...]:
    found = _number(steps, f"load[{index}].running_kva")
    running = None if found is None else above(found, 2)
    placed, shares = _placed(index, facts, steps, running)
    note = brief.job.load[index].note if index < len(brief.job.load) else None
    return (
        label_of(index, facts),
        _word(facts, "system"),
        size_of(facts).text,
        _pieces(facts),
        running,
        placed,
        *shares,
        _optional(_number(steps, f"load[{index}].running_current_a")),
        _with_mark(power_factor_of(facts)),
        _with_mark(cell_of(facts, "continuous")),
        note or "",
    )


def _word(facts: Facts, key: str) -> str:
    return str(facts[key]["value"]) if key in facts else ""


def _with_mark(cell: Cell) -> str:
    return f"{cell.text} ({cell.mark})" if cell.mark else cell.text


def _pieces(facts: Facts) -> Entry:
    """Return how many pieces there are, as a number where it is a plain one."""
    text = _word(facts, "quantity") or "1"
    return Num(float(text), 0) if text.isascii() and text.isdigit() else text


def _number(steps: Steps, name: str) -> float | None:
    step = steps.get(name)
    return float(step.value) if step is not None and isinstance(step.value, int | float) else None


def _optional(value: float | None) -> Entry:
    return None if value is None else above(value, 1)


def _placed(
    index: int, facts: Facts, steps: Steps, running: Num | None
) -> tuple[str, tuple[Entry, Entry, Entry]]:
    """Return where a load sits, and its kVA on A, B and C as the working spread it."""
    if running is None:
        return "", (None, None, None)
    system = phrases.system_of(_word(facts, "system"))
    at = {lines: _number(steps, f"load[{index}].at[{lines}].kva") for lines in (*PHASES, "AB", "BC", "CA")}
    spread = {lines: kva for lines, kva in at.items() if kva is not None}
    if system is not None and system.phases == 3:
        third = Formula(f"={KVA_COLUMN}{{r}}/3", running.value / 3, 2)
        return "three-phase", (third, third, third)
    if not spread:
        return "", (None, None, None)
    pieces = {lines: _number(steps, f"load[{index}].at[{lines}].pieces") for lines in spread}
    placed = ", ".join(f"{bare(count)} on {lines}" if count else lines for lines, count in pieces.items())
    return placed, (_phase("A", spread), _phase("B", spread), _phase("C", spread))


def _phase(phase: str, spread: Mapping[str, float]) -> Entry:
    parts = [(lines, kva) for lines, kva in spread.items() if phase in lines]
    if not parts:
        return Num(0.0, 2)
    if len(parts) == 1 and len(parts[0][0]) == 1:
        return above(parts[0][1], 2)
    terms = "+".join(_exact(kva) if len(lines) == 1 else f"{_exact(kva)}/2" for lines, kva in parts)
    return Formula(f"={terms}", sum(kva if len(lines) == 1 else kva / 2 for lines, kva in parts), 2)


def _exact(value: float) -> str:
    """Return a number for a formula, with every digit."""
    return repr(float(value))


def _foot(rows: tuple[tuple[Entry, ...], ...], brief: Brief) -> tuple[tuple[Entry, ...], ...]:
    """Return the sums, how uneven the phases are, and the demand of the answer."""
    columns = (KVA_COLUMN, "G", "H", "I")
    sums = {column: _sum(rows, "ABCDEFGHIJKLM".index(column)) for column in columns}
    blank: tuple[Entry, ...] = ("", "", "", "", "")
    total: list[Entry] = ["sum, added in line", "", "", "", _sum_formula(KVA_COLUMN, sums), ""]
    total += [_sum_formula(column, sums) for column in columns[1:]]
    foot = [(*total, *blank[:4])]
    phases = [sums[column] for column in columns[1:]]
    average = sum(phases) / 3
    if average > 0:
        formula = "=(MAX(G{sums}:I{sums})/AVERAGE(G{sums}:I{sums})-1)*100"
        uneven = Formula(formula, max(max(phases) / average - 1, 0.0) * 100, 1)
        foot.append(("largest phase over average, %", "", "", "", None, "", uneven, None, None, *blank[:4]))
    for unit in units_of(brief.result)[:1]:
        demand = unit.blocks.demand
        for name, value in (
            ("demand of the answer, vector sum", demand.kva),
            ("with growth", demand.kva_with_growth),
            ("required of the unit", demand.kva_required),
        ):
            foot.append((name, "", "", "", above(value, 2), "", None, None, None, *blank[:4]))
    return tuple(foot)


def _sum(rows: tuple[tuple[Entry, ...], ...], at: int) -> float:
    entries = [row[at] for row in rows]
    return sum(entry.value for entry in entries if isinstance(entry, Num | Formula))


def _sum_formula(column: str, sums: Mapping[str, float]) -> Formula:
    return Formula(f"=SUM({column}{{first}}:{column}{{last}})", sums[column], 2)
