"""One broken job for each thing that goes wrong, and the words of the message: place, what, the way out."""

import pytest

from turnwright.errors import InputError, UnknownKey
from turnwright.intake import job_from_mapping, read_job

SIZE = 'current = "150 A"\n'

# What stands after the start of a load (line 7 follows) | code | place | words of the message
IN_LOAD = [
    ('curent = "3 A"', "JOB-01", "load[0].curent", ['Did you mean "current"?', "power_factor", "[[load]]"]),
    ('fault_current = "3 kA"', "JOB-01", "load[0].fault_current", ["It belongs to [supply]."]),
    ('current = "3 V"', "QTY-04", "load[0].current", ['"3 V"', "a voltage, not a current", '"110..140 A"']),
    ('kva = "150 amp each"', "QTY-01", "load[0].kva", ["for several pieces use quantity"]),
    ("kva = nan", "QTY-08", "load[0].kva", ["not a finite number"]),
    ("kva = -inf", "QTY-08", "load[0].kva", ["not a finite number"]),
    ("kva = 0", "QTY-14", "load[0].kva", ["zero is no size here"]),
    ("kva = -3", "QTY-07", "load[0].kva", ["below zero"]),
    ("kva = [3]", "QTY-13", "load[0].kva", ["a list, not an apparent power"]),
    ("kva = 1e300", "QTY-09", "load[0].kva", ["Check the unit and the decimal point."]),
    ('system2 = "x"', "JOB-01", "load[0].system2", ['Did you mean "system"?']),
    ("note = 3", "JOB-02", "load[0].note", ['"3" is a number, where a text is expected', "in quotes"]),
    ('note = "\\u0000"', "JOB-13", "load[0].note", ["character 1 (U+0000) cannot be printed"]),
    ('continuous = "maybe"', "JOB-02", "load[0].continuous", ["continuous = true", '"unknown"']),
    ("continuous = 1", "JOB-02", "load[0].continuous", ["where yes or no is expected"]),
    ('kind = "moter"', "JOB-03", "load[0].kind", ['Did you mean "motor"?', '"furnace" or "unknown"']),
    ('locked_rotor_code = "I"', "JOB-03", "load[0].locked_rotor_code", ['"G"', "code letter"]),
    ('lines = "AB"', "JOB-07", "load[0].lines", ["three-phase load", '"240 3ph"', "Leave lines out"]),
    ('lines = "AD"', "JOB-03", "load[0].lines", ['"AB", "BC", "CA"']),
    ("power_factor = 1.2", "JOB-08", "load[0].power_factor", ["above 0, up to 1", "power_factor = 0.85"]),
    ("power_factor = 0", "QTY-14", "load[0].power_factor", ["is zero"]),
    ("power_factor = 85", "JOB-08", "load[0].power_factor", ['For 85 percent write "85 %"']),
    ("power_factor = -0.9", "QTY-07", "load[0].power_factor", ["below zero"]),
    ("efficiency = 93", "JOB-08", "load[0].efficiency", ['"93 %"']),
    ("quantity = 0", "QTY-14", "load[0].quantity", ["is zero"]),
    ("quantity = 1.5", "JOB-14", "load[0].quantity", ["no whole number", "counts pieces"]),
    ('quantity = "1..2.5"', "JOB-14", "load[0].quantity", ["no whole number"]),
    ("quantity = 1000000", "JOB-08", "load[0].quantity", ["up to 100000"]),
    ("harmonics = { 5.5 = 30 }", "JOB-09", "load[0].harmonics", ['"5.5" is no harmonic order', "2 to 100"]),
    ("harmonics = { 1 = 100 }", "JOB-09", "load[0].harmonics", ["order 1 is the fundamental"]),
    ("harmonics = { 0 = 1 }", "JOB-09", "load[0].harmonics", ["whole numbers from 2"]),
    ("harmonics = { fifth = 30 }", "JOB-09", "load[0].harmonics", ['"fifth" is no harmonic order']),
    ("harmonics = { 5 = 300 }", "JOB-09", "load[0].harmonics", ["more than the fundamental itself"]),
    ("harmonics = { 5 = -30 }", "QTY-07", "load[0].harmonics.5", ["below zero"]),
    ("harmonics = { 5 = nan }", "QTY-08", "load[0].harmonics.5", ["not a finite number"]),
    ("harmonics = { 05 = 3, 5 = 3 }", "JOB-09", "load[0].harmonics", ["order 5 stands twice"]),
    ('harmonics = "drive"', "JOB-02", "load[0].harmonics", ["under spectrum", "{ 5 = 30, 7 = 15 }"]),
    ('duty = "10 %"', "JOB-02", "load[0].duty", ['{ on = "10 %", period = "60 s" }']),
    ('duty = { on = "0 %" }', "QTY-14", "load[0].duty.on", ["is zero"]),
    ('duty = { on = "110 %" }', "JOB-08", "load[0].duty.on", ["up to 100 %"]),
    ('duty = { off = "10 %" }', "JOB-01", "load[0].duty.off", ["Known here: on, period, note"]),
    ('frequency = "60 V"', "QTY-04", "load[0].frequency", ["a frequency"]),
    ('frequency = "5 kHz"', "QTY-03", "load[0].frequency", ["Units allowed: Hz."]),
    ("start_current = 310", "JOB-08", "load[0].start_current", ["up to 30 x", "in amperes"]),
    ('system = "12470Y/7200"', "SYS-04", "load[0].system", ["1000 V"]),
]
# A whole job | code | place | words
WHOLE = [
    ("", "JOB-05", "job.toml", ["there is no load", "[[load]]"]),
    ('[supply]\nsystem = "480Y/277"', "JOB-05", "job.toml", ["a [[load]] table is missing"]),
    ("load = []", "JOB-05", "job.toml", ["there is no load"]),
    ("load = 3", "JOB-02", "job.toml, line 1, load", ["where a list of tables is expected"]),
    ("[load]\nkva = 1", "JOB-02", "job.toml, line 1, load", ["[[load]], with two brackets"]),
    ("[[supply]]\n[[load]]", "JOB-02", "job.toml, line 1, supply", ["Write [supply], once."]),
    ("supply = 3\n[[load]]", "JOB-02", "job.toml, line 1, supply", ["Write [supply] on a line of its own"]),
    ("load = [1]", "JOB-02", "job.toml, line 1, load", ["Write [[load]] on a line of its own"]),
    ("schema = 2\n[[load]]", "JOB-10", "job.toml, line 1, schema", ["Write schema = 1"]),
    ('schema = "1"\n[[load]]', "JOB-10", "job.toml, line 1, schema", ["a number"]),
    ("schema = true\n[[load]]", "JOB-10", "job.toml, line 1, schema", ["Write schema = 1"]),
    ("title = 3\n[[load]]", "JOB-02", "job.toml, line 1, title", ['Write title = "Tile works, small jobs"']),
    ('regime = "fr"\n[[load]]', "JOB-03", "job.toml, line 1, regime", ['"us", "ca", "iec"']),
    (
        "[suply]\n[[load]]",
        "JOB-01",
        "job.toml, line 1, suply",
        ['Did you mean "supply"?', "circuit, choices"],
    ),
    ('"a\\nb" = 1', "JOB-01", 'job.toml, line 1, "a b"', ["not a key or table of a job file"]),
    ("[site]\nroom = 3\n[[load]]", "JOB-02", "job.toml, line 2, site.room", ['length = "4 m"']),
    ('[site.room]\nlenght = "4 m"', "JOB-01", "job.toml, line 2, site.room.lenght", ['"length"']),
    ('[site]\nplace = ["roof"]', "JOB-02", "job.toml, line 2, site.place", ["a list, where a word"]),
    ('[site]\nconditions = ["dusty"]', "JOB-03", "job.toml, line 2, site.conditions[0]", ['"dust"?']),
    ('[site]\nambient_peak = "400 degC"', "JOB-08", "job.toml, line 2, site.ambient_peak", ["-60 to 80"]),
    (
        '[site]\naltitude = "30 km"',
        "QTY-03",
        "job.toml, line 2, site.altitude",
        ["Units allowed: m, mm, cm, ft, in."],
    ),
    (
        '[choices]\nmanufactured = "2027-13"',
        "JOB-15",
        "job.toml, line 2, choices.manufactured",
        ['"2027-05"'],
    ),
    (
        "[choices]\nmanufactured = 2027-05-31T00:00:00",
        "JOB-15",
        "job.toml, line 2, choices.manufactured",
        ["date"],
    ),
    ('[choices]\nunits = "two"', "QTY-01", "job.toml, line 2, choices.units", ["is not a number"]),
    ("[choices]\nimpedance = 0", "QTY-14", "job.toml, line 2, choices.impedance", ["is zero"]),
    ("[[load]]\ncurrent = 150 A", "JOB-11", "job.toml, line 2", ['in quotes: current = "150 A"']),
    ("[[load]]\ncontinuous = True", "JOB-11", "job.toml, line 2", ["Write continuous = true."]),
    ("[[load]]\nkva = 1\nkva = 2", "JOB-11", "job.toml, line 3", ["may stand once"]),
    ("[[load]]\nx = [1,\n", "JOB-11", "job.toml, line 3", ["is not TOML"]),
    ("[[load]\nx = 1", "JOB-11", "job.toml, line 1", ['"[[load]" is not TOML']),
    ("a = " + "[" * 3000, "JOB-11", "job.toml", ["brackets stand too deep"]),
    ("a = " + "1" * 5000, "JOB-11", "job.toml", ["is not TOML"]),
    ("a = 1 # \ud800", "FILE-03", "job.toml", ["no character of any text"]),
]
PAIR = '[[load]]\nname = "{a}"\nnever_with = "{b}"\n[[load]]\nname = "{c}"\n[[load]]\nname = "{d}"\n'
# Facts that do not fit together | code | place | words
TOGETHER = [
    (
        "[[load]]\n" + SIZE + 'kva = "31 kVA"',
        "JOB-04",
        "line 3, load[0].kva",
        ['current = "150 A" and kva', "exactly one"],
    ),
    ("[[load]]\nkva = 1\nkw = 1\nhp = 1", "JOB-04", "line 4, load[0].hp", ["has 3 sizes"]),
    ('[[load]]\nharmonics = { 5 = 1 }\nspectrum = "x"', "JOB-04", "line 3, load[0].spectrum", ["Keep one"]),
    (
        PAIR.format(a="a", b="x", c="b", d="c"),
        "JOB-06",
        "line 3, load[0].never_with",
        ['no load has the name "x"', '"b", "c"'],
    ),
    (
        PAIR.format(a="a", b="heater", c="heaters", d=""),
        "JOB-06",
        "load[0].never_with",
        ['Did you mean "heaters"?'],
    ),
    (PAIR.format(a="a", b="b", c="b", d="b"), "JOB-06", "load[0].never_with", ["the name of 2 loads"]),
    (PAIR.format(a="a", b="a", c="b", d="c"), "JOB-06", "load[0].never_with", ["this load itself"]),
    ('[[load]]\nnever_with = "a"', "JOB-06", "load[0].never_with", ["Give the other load a name first."]),
    (
        '[[load]]\nsystem = "120/240 1ph"\nlines = "A"',
        "JOB-07",
        "line 3, load[0].lines",
        ["three-wire", '"BC"'],
    ),
    (
        '[supply]\nsystem = "480Y/277"\ngrounding = "corner"\n[[load]]',
        "JOB-12",
        "line 3, supply.grounding",
        ["Only a delta"],
    ),
    (
        '[supply]\nsystem = "240 delta corner"\ngrounding = "ungrounded"\n[[load]]',
        "JOB-12",
        "supply.grounding",
        ['"corner"'],
    ),
    (
        '[supply]\nmeasured = ["478 V", "481 V"]\n[[load]]',
        "JOB-12",
        "line 2, supply.measured",
        ["has 2 voltages; one or three"],
    ),
    (
        "[site]\nambient_average = 35\nambient_peak = 30\n[[load]]",
        "JOB-12",
        "line 3, site.ambient_peak",
        ["is above"],
    ),
    (
        "[site]\nambient_lowest = 20\nambient_peak = 10\n[[load]]",
        "JOB-12",
        "line 3, site.ambient_peak",
        ["is above"],
    ),
    (
        "[choices]\nimpedance = 3\nresistance = 4\n[[load]]",
        "JOB-12",
        "line 3, choices.resistance",
        ["of which it is a part"],
    ),
]


def refusal(text: str) -> InputError:
    with pytest.raises(InputError) as caught:
        read_job(text, "job.toml")
    return caught.value


def check(error: InputError, code: str, where: str, words: list[str]) -> None:
    assert (error.code, error.where.startswith("job.toml")) == (code, True)
    assert where in error.where
    message = str(error)
    assert [word for word in words if word not in message] == []
    assert "\n" not in message
    assert error.fix[-1:] == "."


@pytest.mark.parametrize(("row", "code", "path", "words"), IN_LOAD, ids=[each[0] for each in IN_LOAD])
def test_a_fault_in_a_load(base: str, row: str, code: str, path: str, words: list[str]) -> None:
    text = base.replace('system = "240 3ph"\n', "\n") if row.startswith("system =") else base
    check(refusal(f"{text}{row}\n"), code, f"job.toml, line 7, {path}", words)


@pytest.mark.parametrize(
    ("text", "code", "where", "words"), WHOLE, ids=[repr(each[0][:40]) for each in WHOLE]
)
def test_a_fault_in_a_file(text: str, code: str, where: str, words: list[str]) -> None:
    check(refusal(text), code, where, words)


@pytest.mark.parametrize(("text", "code", "where", "words"), TOGETHER, ids=[each[3][0] for each in TOGETHER])
def test_facts_that_do_not_fit_together(text: str, code: str, where: str, words: list[str]) -> None:
    check(refusal(text), code, where, words)


def test_the_message_reads_as_a_sentence(base: str) -> None:
    message = str(refusal(base + 'current = "150 amp each"'))
    assert message == (
        'job.toml, line 7, load[0].current: "150 amp each" is not a current. Write "150 A", "110..140 A", '
        '"about 120 A" or "unknown"; for several pieces use quantity. [QTY-01]'
    )


def test_an_unknown_key_is_also_a_key_error(base: str) -> None:
    error = refusal(base + "colour = 3")
    assert isinstance(error, UnknownKey)
    assert isinstance(error, KeyError)


def test_the_first_fault_of_the_file_is_told(base: str) -> None:
    assert refusal(base + "kva = -1\nkw = -2").where.endswith("load[0].kva")


def test_a_size_that_is_unknown_is_no_second_size(base: str) -> None:
    job = read_job(base + 'current = "unknown"\nkva = "31 kVA"')
    assert job.load[0].kva is not None


@pytest.mark.parametrize(
    ("data", "code", "words"),
    [
        ([], "JOB-02", ["a list, where a table is expected"]),
        ({"load": [{"kva": True}]}, "QTY-13", ["load[0].kva"]),
        ({"load": [{3: 1}]}, "JOB-02", ["load[0]", "a key here is no text"]),
        ({"load": [{"kva": 10**5000}]}, "JOB-08", ["more digits"]),
        ({"load": [{"title": "\ud800"}]}, "JOB-01", ["title"]),
        ({"title": "\ud800", "load": [{}]}, "JOB-13", ["U+D800"]),
        ({"load": [{"harmonics": {"5": {"a": 1}}}]}, "JOB-09", ["5.a"]),
        ({"load": ({"room": {}},)}, "JOB-01", ["It belongs to [site]."]),
    ],
)
def test_a_mapping_is_checked_as_a_file(data: object, code: str, words: list[str]) -> None:
    with pytest.raises(InputError) as caught:
        job_from_mapping(data)  # type: ignore[arg-type]
    assert caught.value.code == code
    assert caught.value.where.startswith("job")
    assert [word for word in words if word not in str(caught.value)] == []
