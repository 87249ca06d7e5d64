"""The load list by phase, as rows of a sheet."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from turnwright.documents.brief import Brief, PaperUnit, units_of
from turnwright.documents.parts.loads import Facts, cell_of, facts_by_load, label_of, power_factor_of, size_of
from turnwright.documents.report import Cell
from turnwright.documents.sheets import Entry, Formula, Num, Sheet, above
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import bare
from turnwright.model.result import WorkingLine

SAME = 1e-9
PHASES = ("A", "B", "C")
KVA_COLUMN, UNIT_COLUMN = "E", "M"
PHASE_COLUMNS = ("G", "H", "I")
Steps = Mapping[str, WorkingLine]
Spread = Mapping[str, Mapping[str, float]]
_TOTAL = re.compile(r"(.*?)demand\.at\[[^]]*\]\.kva")
_PART = re.compile(r"(load\[\d+\])\.at\[([^]]*)\]\.kva")


def loads(brief: Brief) -> Sheet:
    """Return the load list: each load with its kVA on A, B and C, sums as formulas."""
    steps: dict[str, WorkingLine] = {line.name: line for line in brief.result.working}
    columns = (
        ("load", 24), ("asks for", 13), ("size of one", 11), ("pieces", 8), ("running kVA", 10),
        ("placed on", 16), ("A kVA", 9), ("B kVA", 9), ("C kVA", 9), ("running A", 10),
        ("power factor", 15), ("continuous", 14), ("unit", 7), ("remarks", 30),
    )  # fmt: skip
    facts, units = sorted(facts_by_load(brief.result).items()), units_of(brief.result)
    spread = _spread(brief.result.working)
    rows = tuple(
        _row(index, of_load, steps, spread, brief, _unit_of(index, units)) for index, of_load in facts
    )
    return Sheet(
        name="loads",
        title="Load list by phase",
        columns=columns,
        rows=rows,
        foot=_foot(rows, brief),
        notes=(
            "Running kVA of all pieces with their demand factor, before growth; sums of this sheet add in line, "
            "the demand of the answer adds as phasors.",
            "A three-phase load counts a third on each phase, a load between two lines half on each of them.",
        ),
    )


def _unit_of(index: int, units: tuple[PaperUnit, ...]) -> PaperUnit | None:
    return next((unit for unit in units if unit.carries(index)), None)


def _spread(working: Sequence[WorkingLine]) -> dict[str, dict[str, float]]:
    """Return where each load stands, by its path: its kVA on the lines, as they were added up there."""
    found: dict[str, dict[str, float]] = {}
    for line in working:
        total = _TOTAL.fullmatch(line.name)
        for name, kva in line.with_.items() if total else ():
            part = _PART.fullmatch(name)
            if total and part:
                found.setdefault(f"{total[1]}{part[1]}", {})[part[2].replace("+", "")] = float(kva)
    return found


def _row(
    index: int, facts: Facts, steps: Steps, spread: Spread, brief: Brief, unit: PaperUnit | None
) -> tuple[Entry, ...]:
    path = f"{unit.path if unit else ''}load[{index}]"
    found = _number(steps, f"{path}.running_kva")
    running = None if found is None else above(found, 2)
    placed, shares = _placed(path, facts, steps, spread.get(path, {}), running)
    note = brief.job.load[index].note if index < len(brief.job.load) else None
    return (
        label_of(index, facts),
        _word(facts, "system"),
        size_of(facts).text,
        _pieces(facts),
        running,
        placed,
        *shares,
        _optional(_number(steps, f"{path}.running_current_a")),
        _with_mark(power_factor_of(facts)),
        _with_mark(cell_of(facts, "continuous")),
        unit.mark if unit else "",
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
    path: str, facts: Facts, steps: Steps, spread: Mapping[str, float], running: Num | None
) -> tuple[str, tuple[Entry, Entry, Entry]]:
    """Return where a load sits, and its kVA on A, B and C as the working spread it."""
    if running is None:
        return "", (None, None, None)
    system = phrases.system_of(_word(facts, "system"))
    if system is not None and system.phases == 3:
        third = Formula(f"={KVA_COLUMN}{{r}}/3", running.value / 3, 2)
        return "three-phase", (third, third, third)
    if not spread:
        return "", (None, None, None)
    pieces = {lines: _number(steps, f"{path}.at[{lines}].pieces") for lines in spread}
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
    """Return for each unit the sums, how uneven its phases are, and the demand of the answer."""
    units = units_of(brief.result)
    if not units:
        return _sums(rows, "", "")
    several = len(units) > 1
    found: list[tuple[Entry, ...]] = []
    for unit in units:
        head = f"{unit.mark}: " if several else ""
        found += _sums(rows, head, unit.mark if several else "")
        found += _demand(unit, head, brief)
    return tuple(found)


def _sums(rows: tuple[tuple[Entry, ...], ...], head: str, mark: str) -> tuple[tuple[Entry, ...], ...]:
    """Return the sums of the loads of one unit, or of all, and how uneven the phases are."""
    sums = {column: _sum(rows, column, mark) for column in (KVA_COLUMN, *PHASE_COLUMNS)}
    made = {column: _sum_formula(column, value, mark) for column, value in sums.items()}
    phases = [sums[column] for column in PHASE_COLUMNS]
    total = _foot_row(f"{head}sum, added in line", made[KVA_COLUMN], *(made[one] for one in PHASE_COLUMNS))
    average = sum(phases) / 3
    if average <= 0:
        return (total,)
    formula = "=(MAX(G{above}:I{above})/AVERAGE(G{above}:I{above})-1)*100"
    uneven = Formula(formula, max(max(phases) / average - 1, 0.0) * 100, 1)
    return total, _foot_row(f"{head}largest phase over average, %", None, uneven, None, None)


def _demand(unit: PaperUnit, head: str, brief: Brief) -> Iterator[tuple[Entry, ...]]:
    """Yield demand, growth, demand with growth, and what is asked of the unit."""
    demand = unit.blocks.demand
    today = above(demand.kva, 2)
    yield _foot_row(f"{head}demand of the answer, vector sum", today)
    growth = _growth_pct(unit, brief)
    grown: Entry = above(demand.kva_with_growth, 2)
    if growth is not None:
        yield _foot_row(f"{head}growth, %", Num(growth, len(bare(growth).partition(".")[2])))
        grown = Formula("=E{before}*(1+E{above}/100)", today.value * (1 + growth / 100), 2)
    yield _foot_row(f"{head}with growth", grown)
    yield _foot_row(f"{head}required of the unit", above(demand.kva_required, 2))


def _growth_pct(unit: PaperUnit, brief: Brief) -> float | None:
    """Return the growth of all loads together, where the demand with growth follows from it."""
    steps = {line.name: line for line in brief.result.working}
    growth, demand = _number(steps, "choices.growth"), unit.blocks.demand
    if growth is None or abs(demand.kva * (1 + growth / 100) / demand.kva_with_growth - 1) > SAME:
        return None
    return growth


def _foot_row(name: str, kva: Entry, *phases: Entry) -> tuple[Entry, ...]:
    blank: tuple[Entry, ...] = ("", "", "", "", "")
    return (name, "", "", "", kva, "", *(phases or (None, None, None)), *blank)


def _sum(rows: tuple[tuple[Entry, ...], ...], column: str, mark: str) -> float:
    at, of_unit = (ord(letter) - ord("A") for letter in (column, UNIT_COLUMN))
    entries = [row[at] for row in rows if mark in ("", row[of_unit])]
    return sum(entry.value for entry in entries if isinstance(entry, Num | Formula))


def _sum_formula(column: str, value: float, mark: str) -> Formula:
    rows = f"{column}{{first}}:{column}{{last}}"
    if not mark:
        return Formula(f"=SUM({rows})", value, 2)
    marks = f"{UNIT_COLUMN}{{first}}:{UNIT_COLUMN}{{last}}"
    return Formula(f'=SUMIF({marks},"{mark}",{rows})', value, 2)
