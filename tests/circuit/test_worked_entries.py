"""The file of worked examples: every entry is used, says where it is from, and why where it is disputed."""

from pathlib import Path

import yaml

HERE = Path(__file__).parent


def test_every_entry_is_used() -> None:
    entries = yaml.safe_load((HERE / "data" / "worked_examples_circuit.yaml").read_text())
    text = "".join(path.read_text() for path in HERE.glob("test_worked_*.py"))
    assert [entry["id"] for entry in entries if f'"{entry["id"]}"' not in text] == []
    assert all(entry["source"]["title"] and entry["where_seen"] for entry in entries)
    assert all(entry.get("notes") for entry in entries if entry["status"] == "disputed")
