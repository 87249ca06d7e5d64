"""Papers of Canada and the IEC world: their words, signs, colors, checks and paper, and none of another code."""

import re

import pytest

from turnwright.documents.brief import Brief, usual_measure
from turnwright.documents.make import make
from turnwright.intake import job_from_mapping
from turnwright.narrow import select

JOBS = {
    "ca": {
        "supply": {"system": "600Y/347", "frequency": "60 Hz", "fault_current": "18 kA"},
        "load": [{"name": "office", "system": "208Y/120", "kva": "30 kVA"}],
        "circuit": {"primary_length": "30 m", "secondary_length": "5 m", "terminals": "75 degC"},
    },
    "iec": {
        "supply": {"system": "690Y/400", "frequency": "50 Hz", "earthing": "TN-S", "fault_current": "18 kA"},
        "load": [{"name": "workshop", "system": "400Y/230", "kva": "45 kVA"}],
        "circuit": {"primary_length": "35 m", "secondary_length": "8 m", "installation": "E"},
    },
}
SAYS = {
    "ca": ("bonding conductor", "grounding conductor", "red", "system bonding jumper", "X0", "A red"),
    "iec": (
        "protective conductor",
        "earthing conductor",
        "earth bar",
        "L1 brown",
        "2N",
        "200 mA",
        "earthed once",
    ),
}
OTHER = {
    "ca": re.compile(r"\bNEC\b|\b450\.3\b|equipment ground|earth bar|\bTN-S\b"),
    "iec": re.compile(r"\bNEC\b|\bCEC\b|\b450\.3\b|equipment ground|ground bar|jumper|\bX0\b|\bAWG\b"),
}


def papers(regime: str) -> dict[str, str]:
    job = job_from_mapping({"title": "Yard", "regime": regime, **JOBS[regime]}, "job.toml")
    result = select(job, ledger_open=True)
    brief = Brief(job=job, text="", origin="job.toml", result=result, measure=usual_measure(regime))
    sheets = make(brief, [], ["html"]).sheets
    return {sheet.name: sheet.content.decode() for sheet in sheets}


@pytest.mark.parametrize("regime", JOBS)
def test_papers_speak_the_words_of_their_regime(regime: str) -> None:
    made = papers(regime)
    assert {"memo.html", "specification.html", "checklist.html", "labels.html", "diagrams.html"} <= set(made)
    whole = " ".join(made.values())
    assert [word for word in SAYS[regime] if word not in whole] == []
    found = {name: OTHER[regime].findall(text) for name, text in made.items()}
    assert {name: each for name, each in found.items() if each} == {}
    assert all("A4" in text or "a4" in text for name, text in made.items() if name == "memo.html")
