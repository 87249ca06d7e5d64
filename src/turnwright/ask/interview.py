"""The guided intake: one question at a time, every answer read by the kind of its key, nothing lost when it is left.

Answers: a value; a sentence that holds more facts; Enter to leave it open; "?" when nobody knows; "back"; "help";
"stop". A whole request may be pasted at the first question; the name of a load list is an answer to any.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from turnwright.ask.from_request import ORIGIN
from turnwright.ask.job_text import Line, job_text, one_size
from turnwright.ask.load_list import is_list
from turnwright.ask.reading.notation import system_text
from turnwright.ask.reading.request import Reading, plain_text, read_request
from turnwright.ask.reading.stream import stream_of
from turnwright.ask.reading.systems import systems_of
from turnwright.ask.resume import lines_of_text
from turnwright.ask.steps import MORE, SIZE, Step, steps
from turnwright.errors import InputError, TurnwrightError
from turnwright.intake import read_job, read_value
from turnwright.model.job import Job
from turnwright.model.keys import SIZE_KEYS, key_of
from turnwright.model.result import Result
from turnwright.narrow import select

HEAD = "Written by the guided intake; `turnwright ask` with this file goes on where it was left."
OPENING = (
    "Answer as you would on the phone. Enter leaves a question open, ? says that nobody knows,\n"
    "back, help and stop do what they say. A whole request may be pasted first; a line with\n"
    "only a dot ends it. The name of a load list (CSV, XLSX) brings its loads.\n"
)
FIRST = "What has to run, or paste the request:"
REFUSED = "back changes the last answer, stop keeps the job as it is; the rest is asked if you go on."
_UNKNOWN = re.compile(
    r"\?+|(?:i )?(?:don'?t|do not) know|dk|unknown|no idea|not sure|nobody knows|n/?a", re.IGNORECASE
)
_SHORT_NAME = 4

ReadLine = Callable[[str], str | None]
Say = Callable[[str], None]


class Known(Struct, frozen=True, kw_only=True):
    """What is known so far.

    lines    facts, ready for the job file
    passed   keys that were left open
    before   the states to go back to, the last one first
    """

    lines: tuple[Line, ...] = ()
    passed: frozenset[str] = frozenset()
    before: tuple[Known, ...] = ()

    @property
    def text(self) -> str:
        """The job file."""
        return job_text(self.lines, head=(HEAD,))

    def job(self, origin: str = ORIGIN) -> Job:
        """Return the job of these facts."""
        return read_job(self.text, origin)

    def moved(self, **changes: Any) -> Known:
        """Return the next state, with this one to go back to."""
        return replace(self, **changes, before=(self, *self.before)[:100])


class Interview:
    """Asks until everything is known, or until somebody stops.

    read : returns an answer without its line break, None at the end of the input
    say  : shows a text
    keep : called with the job file after every fact
    """

    def __init__(self, read: ReadLine, say: Say, keep: Callable[[str], None] | None = None) -> None:
        self.read, self.say, self.keep = read, say, keep
        self.last: Result | None = None
        self.known = Known()

    def run(self, known: Known) -> Known:
        """Return what is known when the questions end or somebody stops."""
        self.say(OPENING)
        going = True
        self.known = known
        if known.lines:
            self._told(Known(), known)
        else:
            known, going = self._opening(known)
        while going:
            self.known = known
            step = self._next(known)
            if step is None:
                self.say("Nothing is left to ask.\n")
                break
            answer = self.read(f"{step.ask} ")
            if answer is None or answer.strip().casefold() in ("stop", "quit", "exit"):
                break
            known = self._after(known, step, answer.strip())
        return known

    def _opening(self, known: Known) -> tuple[Known, bool]:
        first = self.read(f"{FIRST} ")
        if first is None or first.strip().casefold() in ("stop", "quit", "exit"):
            return known, False
        words = first.split()
        if is_list(first):
            return self._listed(known, first), True
        if not words:
            return replace(known, passed=frozenset({"load[0].name"})), True
        if len(words) <= _SHORT_NAME and not read_request(first).facts:
            return self._told(known, known.moved(lines=(Line("load[0].name", " ".join(words)),))), True
        pasted = [first]
        while (line := self.read("")) is not None and line.strip() not in (".", ""):
            pasted.append(line)
        return self._taken(known, read_request("\n".join(pasted))), line is not None

    def _taken(self, known: Known, reading: Reading) -> Known:
        """Take the facts of a request; what was not read is said."""
        lines = list(known.lines)
        for fact in reading.facts:
            if not fact.key.startswith("unit.") and not any(line.path == fact.key for line in lines):
                self.say(f'  {fact.key} = {plain_text(fact.value)}   from "{" ".join(fact.words.split())}"\n')
                lines.append(Line(fact.key, fact.value, f'"{" ".join(fact.words.split())}"'))
        if reading.unread:
            self.say(f"  not read: {' · '.join(reading.unread)}\n")
        return self._told(known, self._fitting(known, tuple(lines)))

    def _listed(self, known: Known, answer: str) -> Known:
        """Take the loads of a list; what its columns are taken for, was assumed and was not read is said."""
        from turnwright.ask.load_list.into_job import into_job
        from turnwright.ask.load_list.list_job import load_list_job

        try:
            found = load_list_job(answer.strip().strip("\"'"))
            lines = lines_of_text(into_job(known.text, found), found.name) if known.lines else found.lines
        except TurnwrightError as error:
            self.say(f"  {error.what} {error.fix}\n")
            return known
        for column in found.columns:
            self.say(f'  column {column.letter} "{column.heading}": {column.holds}\n')
        self.say(f"  {sum(row.fate == 'load' for row in found.rows)} of {len(found.rows)} rows are loads\n")
        for word, told in (("assumed", found.assumed), ("not read", found.unread)):
            for one in told:
                self.say(f"  {word}: {one}\n")
        return self._told(known, self._fitting(known, tuple(lines)))

    def _fitting(self, known: Known, lines: tuple[Line, ...]) -> Known:
        """Return the state with these facts; facts that contradict each other are refused with their reason."""
        state = known.moved(lines=lines)
        try:
            state.job()
        except InputError as error:
            self.say(f"  {error.what} {error.fix}\n")
            return known
        return state

    def _next(self, known: Known) -> Step | None:
        job = known.job()
        left = [step for step in steps(job) if step.key not in known.passed]
        needed = next((step for step in left if step.need), None)
        if needed is not None:
            named = left[0] if left and left[0].name == "name" else None
            return named or needed
        moving = self._moving()
        by_key = {step.key: step for step in left}
        telling = next((by_key[key] for key in moving if key in by_key), None)
        return telling or (left[0] if left else None)

    def _moving(self) -> list[str]:
        """Return the keys of which an answer would move the size, the most telling first."""
        questions = self.last.questions if self.last is not None else ()
        return [one.key for one in questions if len(set(one.moves.get("kva") or ())) > 1]

    def _after(self, known: Known, step: Step, answer: str) -> Known:
        word = answer.casefold()
        if word == "back":
            return self._back(known)
        if word in ("help", "h"):
            self.say(f"  {step.help}\n")
            return known
        if not answer or (step.name == MORE and word in ("no", "n", "none")):
            return known.moved(passed=known.passed | {step.key})
        if is_list(answer):
            return self._listed(known, answer)
        if _UNKNOWN.fullmatch(answer):
            return self._unknown(known, step)
        try:
            path, value = self._value(step, answer)
        except InputError as error:
            return self._as_words(known, step, answer, error)
        lines = (*one_size(known.lines, path), Line(path, value))
        return self._told(known, self._fitting(known, lines))

    def _back(self, known: Known) -> Known:
        if not known.before:
            self.say("  This is the first question.\n")
            return known
        return known.before[0]

    def _unknown(self, known: Known, step: Step) -> Known:
        """Write down that nobody knows, where the file has a way to say it."""
        passed = known.passed | {step.key}
        path = step.key.replace(f".{SIZE}", ".current")
        key = key_of(path)
        if key is None or key.kind in ("text", "frequencies"):
            return known.moved(passed=passed)
        lines = (*(line for line in known.lines if line.path != path), Line(path, "unknown"))
        return self._told(known, known.moved(lines=lines, passed=passed))

    def _value(self, step: Step, answer: str) -> tuple[str, Any]:
        """Return the path and the value of an answer.

        Raises InputError when it is no value of its kind.
        """
        if step.name == MORE:
            return step.key.replace(MORE, "name"), answer
        if step.name == SIZE:
            return self._size(step, answer)
        key = key_of(step.key)
        assert key is not None
        if key.kind == "system":
            return step.key, _system(answer, step.key)
        value: Any = (
            {"y": "yes", "n": "no"}.get(answer.casefold(), answer) if key.kind == "yes/no" else answer
        )
        read = read_value(key, value, step.key)
        return step.key, read if isinstance(read, bool | str) else value

    def _size(self, step: Step, answer: str) -> tuple[str, Any]:
        """The unit says which of the sizes it is."""
        path = step.key.removesuffix(SIZE)
        for name in SIZE_KEYS:
            key = key_of(path + name)
            if key is None or not re.search(r"[A-Za-z]", answer):
                continue
            try:
                read_value(key, answer, step.key)
            except InputError:
                continue
            return path + name, answer
        fix = "Write the unit: 120 A, 22 kVA, 24 kW, 15 hp, 110..130 A, about 120 A."
        raise InputError("ASK-01", step.key, f'"{answer[:40]}" is no size of a load.', fix)

    def _as_words(self, known: Known, step: Step, answer: str, error: InputError) -> Known:
        """An answer that is no value may be a sentence with facts in it."""
        reading = read_request(answer)
        fresh = [fact for fact in reading.facts if not any(line.path == fact.key for line in known.lines)]
        if not fresh:
            self.say(f"  {error.what} {error.fix}\n")
            return known
        return self._taken(known, reading)

    def _told(self, known: Known, state: Known) -> Known:
        """Say where the job stands and what the last fact moved."""
        if state is known:
            return state
        if self.keep is not None:
            self.keep(state.text)
        try:
            result = select(state.job(), ledger_open=False)
        except InputError as error:
            self.say(f"  {error.what} {error.fix}\n")
            return known
        self.say(f"  {standing(result, self.last)}\n")
        if result.verdict == "refused":
            self.say(f"  {REFUSED}\n")
        self.last = result
        return state


def _system(answer: str, where: str) -> str:
    """Return a voltage system in the notation of the job file; as people say it, too."""
    key = key_of(where)
    assert key is not None
    try:
        return str(read_value(key, answer, where).text)
    except InputError:
        said = systems_of(stream_of(answer if re.search(r"[vV]", answer) else f"{answer} V"))
        text = system_text(said[0].volts) if len(said) == 1 else None
        if text is None:
            raise
        return text


def standing(result: Result, before: Result | None = None) -> str:
    """Return where a job stands, in a line.

    result : what it comes to now
    before : what it came to before the last fact
    """
    if result.verdict == "refused":
        stops = [one.message for one in result.findings if one.severity == "stop"]
        ways = [f"Instead: {other.what}" for other in result.instead[:1]]
        return " ".join(["No transformer does this:", *stops[:1], *ways])
    ends = result.range_kva
    if result.pick is None:
        if ends is None:
            return "Not enough is known yet for a size."
        return f"It could be {_ends(ends)} so far."
    pick = result.pick
    text = f"So far: {pick.kva:g} kVA, {pick.primary} to {pick.secondary}"
    text += f"; {_ends(ends)} possible" if ends is not None and ends[0] != ends[1] else ""
    old = before.pick if before is not None else None
    if old is not None and old.kva != pick.kva:
        text += f"; that moved it from {old.kva:g} kVA"
    return f"{text}."


def _ends(ends: tuple[float, float]) -> str:
    return f"{ends[0]:g} kVA" if ends[0] == ends[1] else f"{ends[0]:g} to {ends[1]:g} kVA"
