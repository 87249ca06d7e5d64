"""No sentence promises what was not checked, and none sends anybody round licensed practice."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from turnwright.documents.words.phrases import CAUTION

ROOT = Path(__file__).parents[1]
SOURCE = ROOT / "src" / "turnwright"
PROMISE = re.compile(
    r"\b(complian\w*|compl(?:y|ies|ied|ying)|safe|safely|safer|safest|approv\w*|guarante\w*|certif\w*|legal\w*|"
    r"harmless|risk-free|foolproof|code-ready|up to code|meets (?:the )?code|passes inspection)\b",
    re.I,
)
"""Words by which a reader could take something for checked, allowed or without danger."""
RECKLESS = re.compile(
    r"\b((?<!to )yourself|without (?:a |any )?(?:permit|licen[cs]e|inspection)|"
    r"no (?:permit|inspection|electrician|licen[cs]e)|need(?:s|ed)? no (?:permit|inspection|electrician)|"
    r"skip the|ignore the|defeat\w*|jumper(?:ed)? out|while (?:it is )?(?:live|energi[sz]ed|hot)|hot[- ]swap\w*|"
    r"good enough|don't worry|no danger)\b",
    re.I,
)
"""Words that would send somebody round a permit, an inspection, a licence, or to live parts."""
STANDS_FOR = (
    # what is on the side that takes no risk with a number that nobody gave
    "the safe side",
    "the safe one",
    "the safer one",
    # names of things in standards
    "safety isolating",  # IEC 61558-2-6
    "safety extra-low voltage",  # IEC 60364-4-41 414
    "fail-safe",  # IEC 61558-1, kinds of protection in a short circuit
    "equipment of safety",  # EN 1998-1, importance factor
    "the safety rules",
    # what a clause asks for, named beside it
    'certified,"equipment',  # the id of the rule of CEC 2-024
    "an approved means",  # NEC 110.14(D)
    "approved raceway or other approved means",  # NEC 240.21(C)
    "in an approved manner",  # NEC 240.21(C)
    "a unit approved for the class",  # NEC 501.100
    "units approved by the class",  # IEC 60092: the classification society
    "only a certified unit",
    "only a unit certified for the zone",  # IEC 60079
    "have the maker certify",
    "have one certified for it",
    "calculation and certified",
    "the maker certifies that",  # ASCE 7 13.2.2
    "a certified system of its own kind",  # CEC section 24
    "a certified isolated system",  # CEC section 24
    "portable units are certified for the use",  # CEC section 44
    "bears a certification mark accepted in Canada",  # CEC 2-024
    "needs certification or a field evaluation",  # CEC 2-024
    # the certificate of a server
    "certificate",
)
"""Sentences in which such a word says what is asked for, not that it is fulfilled."""
NOT_SHOWN = {"sources.csv"}
"""Titles and pages of others, quoted."""


def literals(path: Path) -> Iterator[str]:
    """Yield the texts of a module but for its docstrings."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    said = {
        id(line.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        for line in node.body
        if isinstance(line, ast.Expr)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in said:
            yield node.value


def shown(path: Path) -> Iterator[str]:
    """Yield what a file may show to somebody."""
    if path.suffix == ".py":
        yield from literals(path)
    else:
        yield from re.sub(r"\|\s*safe\b", "", path.read_text(encoding="utf-8")).splitlines()


def promises(text: str) -> list[str]:
    """Return the words of a text that promise something; identifiers are no sentences."""
    for allowed in STANDS_FOR:
        text = re.sub(re.escape(allowed), " ", text, flags=re.I)
    return [] if re.fullmatch(r"[\w.\-]*", text) else [found[0] for found in PROMISE.finditer(text)]


def files() -> list[Path]:
    kinds = {".py", ".csv", ".html", ".js"}
    code = [path for path in SOURCE.rglob("*") if path.suffix in kinds and path.name not in NOT_SHOWN]
    return [*sorted(code), ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]


def test_nothing_is_called_compliant_safe_or_approved_that_no_clause_was_checked_for() -> None:
    found = {
        f"{path.relative_to(ROOT)}: {text.strip()[:120]}": words
        for path in files()
        for text in shown(path)
        if (words := promises(text))
    }
    assert found == {}


def test_nobody_is_sent_round_licensed_practice() -> None:
    found = {
        f"{path.relative_to(ROOT)}: {text.strip()[:120]}": words
        for path in files()
        for text in shown(path)
        if (words := [match[0] for match in RECKLESS.finditer(text)])
    }
    assert found == {}


def test_each_allowed_sentence_is_still_said() -> None:
    everything = " ".join(text for path in files() for text in shown(path)).lower()
    assert [allowed for allowed in STANDS_FOR if allowed.lower() not in everything] == []


@pytest.mark.parametrize(
    "sentence",
    [
        "The installation is NEC compliant.",
        "This complies with 450.3(B).",
        "It is safe to switch on.",
        "30 kVA, on the safe side; this is approved.",
        "A certified answer.",
    ],
)
def test_a_promise_is_noticed(sentence: str) -> None:
    assert promises(sentence)


@pytest.mark.parametrize(
    "sentence",
    ["Wire it yourself.", "It needs no permit.", "Move the tap while energized.", "Skip the inspection."],
)
def test_a_way_round_practice_is_noticed(sentence: str) -> None:
    assert RECKLESS.search(sentence)


def test_the_caution_names_code_and_licence() -> None:
    assert "local code" in CAUTION and "licensed" in CAUTION and "before" in CAUTION
