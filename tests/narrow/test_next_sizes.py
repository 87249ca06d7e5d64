"""What would have to change for the next size: each change, put into the job, gives that size; short of it, none."""

import pytest

from turnwright.cli.main import main
from turnwright.intake import read_job
from turnwright.model.job import Job
from turnwright.narrow import put, select
from turnwright.narrow.next_sizes import next_sizes

PLAIN = 'supply.system = "480Y/277"\n[[load]]\nsystem = "208Y/120"\nkva = "26 kVA"\n'
MOTORS = (
    'supply.system = "480Y/277"\n[[load]]\nname = "compressor"\nsystem = "230 3ph"\nhp = "15 hp"\nquantity = 2\n'
    '[[load]]\nname = "pump"\nsystem = "230 3ph"\nhp = "5 hp"\n[site]\nplace = "indoor"\n'
)
WELDER = (
    'supply.system = "208Y/120"\n[[load]]\nsystem = "480 1ph"\ncurrent = "240 A"\npower_factor = 0.5\nkind = "welder"\n'
    'duty = { on = "10 %" }\nregulation_limit = "5 %"\n[choices]\nimpedance = "4 %"\nresistance = "1.5 %"\n'
)


def picked(job: Job) -> float | None:
    result = select(job, ledger_open=False, ask=False)
    return None if result.blocks is None else result.blocks.pick.kva


@pytest.mark.parametrize("text", [PLAIN, MOTORS, WELDER, PLAIN + '[site]\nplace = "ceiling"\n'])
def test_each_change_leads_to_the_size_it_names(text: str) -> None:
    job = read_job(text)
    found = next_sizes(job)
    assert found is not None and found.kva == picked(job)
    assert found.larger and found.smaller
    for one in (*found.larger, *found.smaller):
        if one.key == "load" or one.at.endswith(" hp"):
            continue  # shares of all loads, and steps of motors, are checked below
        assert picked(put(job, one.key, one.at)) == one.kva, one
        value, _, unit = one.at.partition(" ")
        short = float(value) * (0.99 if one.more else 1.01)
        assert picked(put(job, one.key, f"{short:.6g} {unit}")) == found.kva, one


def test_all_loads_together_are_solved_by_hand_for_a_plain_load() -> None:
    # One load of 26 kVA and nothing else: 30 kVA carry 30/26 of it, 15 kVA carry 15/26.
    found = next_sizes(read_job(PLAIN))
    assert found is not None
    larger, smaller = found.larger[0], found.smaller[0]
    assert (larger.key, larger.kva, larger.more) == ("load", 45.0, True)
    assert float(larger.at.removesuffix(" %")) == pytest.approx(100 * 30 / 26, rel=1e-3)
    assert float(smaller.at.removesuffix(" %")) == pytest.approx(100 * 15 / 26, rel=1e-3)
    growth = next(one for one in found.larger if one.key == "choices.growth")
    assert float(growth.at.removesuffix(" %")) == pytest.approx(
        15.4, abs=1e-9
    )  # 15.38 rounded up to three figures


def test_motors_come_in_the_steps_of_the_table() -> None:
    found = next_sizes(read_job(MOTORS))
    assert found is not None
    for one in (*found.larger, *found.smaller):
        if one.key.endswith(".hp"):
            assert float(one.at.removesuffix(" hp")) in (
                1,
                1.5,
                2,
                3,
                5,
                7.5,
                10,
                15,
                20,
                25,
                30,
                40,
                50,
                60,
            ), one
            assert picked(put(read_job(MOTORS), one.key, one.at)) == one.kva


def test_without_a_pick_there_is_nothing_to_solve() -> None:
    assert (
        next_sizes(read_job('supply.system = "120/240 1ph"\n[[load]]\nsystem = "208 3ph"\nkva = "9 kVA"\n'))
        is None
    )
    assert next_sizes(read_job('supply.system = "480Y/277"\n[[load]]\nkva = "9 kVA"\n')) is None


def test_the_terminal_tells_them_with_the_size(tmp_path, capsys) -> None:
    path = tmp_path / "job.toml"
    path.write_text(PLAIN, encoding="utf-8")
    assert main(["explain", str(path), "pick.kva"]) == 0
    out = capsys.readouterr().out
    assert (
        "what would change it, each by itself" in out
        and "45 kVA: all loads together at 115.4 % or more" in out
    )
    assert main(["explain", str(path), "pick.kva", "--format", "json"]) == 0
    assert '"next_sizes"' in capsys.readouterr().out
    assert main(["explain", str(path), "currents.primary_rated_a"]) == 0
    assert "what would change it" not in capsys.readouterr().out
