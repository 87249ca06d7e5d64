"""The file of passwords: hashed, readable by its owner only, whole or not at all."""

import io
import stat
import sys
from pathlib import Path

import pytest

from turnwright.cli.main import main
from turnwright.errors import InputError
from turnwright.web.access.passwords import (
    SHORTEST,
    PasswordFile,
    Passwords,
    load_passwords,
    put_password,
    refuse_name,
)

WORDS = "three words and more"


@pytest.fixture(scope="module")
def people(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("people") / "people.txt"
    put_password(place, "mira", WORDS)
    return place


def test_a_password_is_kept_as_an_argon2id_hash_that_only_its_owner_reads(people: Path) -> None:
    text = people.read_text()
    assert WORDS not in text
    # RFC 9106, section 4, second recommended option: 64 MiB, 3 passes, 4 lanes
    assert "mira:$argon2id$v=19$m=65536,t=3,p=4$" in text
    assert stat.S_IMODE(people.stat().st_mode) == 0o600
    assert [each.name for each in people.parent.iterdir()] == ["people.txt"]


def test_only_the_right_password_of_a_name_is_right(people: Path) -> None:
    known = load_passwords(people)
    assert known.check("mira", WORDS)
    assert not known.check("mira", WORDS + " ")
    assert not known.check("Mira", WORDS)
    assert not known.check("mira", "")
    assert not known.check("mira", WORDS + "x" * 1_000_000)


def test_a_name_that_is_not_there_is_hashed_all_the_same(
    people: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Or the time of the answer would tell which names there are."""
    from argon2 import PasswordHasher

    hashed: list[str] = []
    verify = PasswordHasher.verify
    monkeypatch.setattr(
        PasswordHasher,
        "verify",
        lambda self, known, typed: hashed.append(known) or verify(self, known, typed),
    )
    assert not load_passwords(people).check("nobody", WORDS)
    assert len(hashed) == 1
    assert hashed[0].split("$")[1:4] == ["argon2id", "v=19", "m=65536,t=3,p=4"]


def test_a_letter_typed_in_two_ways_is_the_same(tmp_path: Path) -> None:
    put_password(tmp_path / "p", "mira", "caf\u00e9 at the harbour")
    assert load_passwords(tmp_path / "p").check("mira", "cafe\u0301 at the harbour")


@pytest.mark.parametrize("name", ["", "a:b", "a b", "-a", "a\nb", "é", "a" * 65, "../x", "$x"])
def test_a_name_that_could_break_the_file_is_refused(name: str) -> None:
    with pytest.raises(InputError) as caught:
        refuse_name(name)
    assert caught.value.code == "ACC-04"


@pytest.mark.parametrize(
    "text",
    ["mira\n", "mira:secret\n", "mira:$argon2id$v=19\n", ":\n", "\x00\n", "mira:$1$abc$def\n"],
)
def test_a_line_that_is_no_name_with_its_hash_is_refused_without_being_shown(
    tmp_path: Path, text: str
) -> None:
    place = tmp_path / "p"
    place.write_text(text)
    place.chmod(0o600)
    with pytest.raises(InputError) as caught:
        load_passwords(place)
    assert caught.value.code == "ACC-02"
    assert "line 1" in caught.value.where
    assert "secret" not in str(caught.value)


@pytest.mark.skipif(sys.platform == "win32", reason="rights of files")
@pytest.mark.parametrize("mode", [0o640, 0o604, 0o620, 0o660])
def test_a_file_that_others_can_read_or_change_is_refused(people: Path, tmp_path: Path, mode: int) -> None:
    place = tmp_path / "p"
    place.write_bytes(people.read_bytes())
    place.chmod(mode)
    for use in (load_passwords, lambda each: put_password(each, "jon", WORDS)):
        with pytest.raises(InputError) as caught:
            use(place)
        assert caught.value.code == "ACC-03"
        assert "chmod 600" in caught.value.fix


def test_a_file_that_is_none_is_one_sentence(tmp_path: Path) -> None:
    for place in (tmp_path / "gone", tmp_path):
        with pytest.raises(InputError) as caught:
            load_passwords(place)
        assert caught.value.code == "ACC-01"


def test_a_change_of_the_file_counts_at_once_and_a_broken_one_lets_nobody_in(
    people: Path, tmp_path: Path
) -> None:
    place = tmp_path / "p"
    place.write_bytes(people.read_bytes())
    place.chmod(0o600)
    file = PasswordFile(place)
    before = file.current().mark("mira")
    assert before
    put_password(place, "mira", WORDS)
    assert file.current().mark("mira") not in (None, before)
    place.chmod(0o644)
    assert len(file.current()) == 0
    place.unlink()
    assert len(file.current()) == 0


def test_a_password_without_names_lets_nobody_in() -> None:
    assert not Passwords({}).check("", "")


def test_the_command_writes_replaces_and_removes(tmp_path: Path, monkeypatch, capsys) -> None:
    place = tmp_path / "people.txt"

    def ran(*words: str, typed: str = "") -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
        status = main(["password", str(place), *words])
        return status, *capsys.readouterr()

    status, out, err = ran("mira", typed=WORDS + "\n")
    assert (status, err) == (0, "")
    assert "mira may come in" in out and WORDS not in out
    first = place.read_text()
    assert ran("jon", typed=WORDS + "\r\n")[0] == 0
    assert first.splitlines()[-1] in place.read_text()
    assert load_passwords(place).check("jon", WORDS)
    kept = place.read_bytes()
    status, out, err = ran("eve", typed="x" * (SHORTEST - 1))
    assert (status, out) == (2, "") and "ACC-04" in err and "xxx" not in err
    assert place.read_bytes() == kept
    assert ran("jon", "--remove")[0] == 0
    assert place.read_text() == first
    status, _, err = ran("jon", "--remove")
    assert status == 2 and "There are: mira." in err


def test_a_password_that_is_typed_twice_must_be_the_same(tmp_path: Path, monkeypatch, capsys) -> None:
    typed = iter([WORDS, WORDS + "!"])
    monkeypatch.setattr("getpass.getpass", lambda prompt: next(typed))
    terminal = io.StringIO()
    terminal.isatty = lambda: True  # type: ignore[method-assign]
    monkeypatch.setattr(sys, "stdin", terminal)
    assert main(["password", str(tmp_path / "p"), "mira"]) == 2
    assert "not the same" in capsys.readouterr().err
    assert not (tmp_path / "p").exists()
