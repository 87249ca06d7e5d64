"""What serve starts with, and what it does not."""

import shutil
import subprocess
from pathlib import Path

import pytest

from turnwright.cli.main import main
from turnwright.errors import InputError
from turnwright.web.access import passwords
from turnwright.web.access.setting import Told, setting_of


@pytest.fixture
def people(tmp_path: Path) -> str:
    """A file with one name; its hash is made up, and of the right form."""
    place = tmp_path / "people.txt"
    place.write_text(f"mira:$argon2id$v=19$m=65536,t=3,p=4${'A' * 22}${'B' * 43}\n")
    place.chmod(0o600)
    return str(place)


def refusal(told: Told) -> InputError:
    with pytest.raises(InputError) as caught:
        setting_of(told)
    return caught.value


def test_this_machine_alone_needs_nothing() -> None:
    for host in ("127.0.0.1", "localhost", "::1", "127.0.0.2"):
        setting = setting_of(Told(host=host))
        assert setting.is_local and setting.scheme == "http"
    assert setting_of(Told(host="::1")).hosts == {"::1"}
    assert setting_of(Told(host="::1")).shown_host == "[::1]"


@pytest.mark.parametrize(
    "told",
    [
        Told(host="0.0.0.0"),
        Told(host="192.0.2.7"),
        Told(host="::"),
        Told(host="2001:db8::1"),
        Told(host="0.0.0.0", names=("pages.example",)),
        Told(names=("pages.example",)),
        Told(host="0.0.0.0", names=("localhost",)),
        Told(host="192.0.2.7", behind_tls=True),
    ],
    ids=str,
)
def test_what_others_can_reach_does_not_start_without_saying_who_may_come_in(told: Told) -> None:
    error = refusal(told)
    assert error.code == "ACC-11"
    assert "--passwords" in error.fix and "--proxy-header" in error.fix


def test_passwords_do_not_cross_a_network_in_the_open(people: str) -> None:
    assert refusal(Told(host="192.0.2.7", passwords=people)).code == "ACC-13"
    assert refusal(Told(names=("pages.example",), passwords=people)).code == "ACC-13"
    assert setting_of(Told(host="192.0.2.7", passwords=people, behind_tls=True)).scheme == "https"
    assert not setting_of(Told(passwords=people)).is_local


def test_every_address_needs_a_name(people: str) -> None:
    told = Told(host="0.0.0.0", passwords=people, behind_tls=True)
    assert refusal(told).code == "ACC-14"
    found = setting_of(
        Told(host="::", names=("Pages.Example", "[2001:DB8:0::1]"), passwords=people, behind_tls=True)
    )
    assert found.hosts == {"pages.example", "2001:db8::1"}


def test_a_header_that_anybody_could_write_is_refused() -> None:
    assert refusal(Told(host="192.0.2.7", proxy_header="X-Remote-User")).code == "ACC-12"
    found = setting_of(Told(host="192.0.2.7", proxy_header="X-Remote-User", proxies=("192.0.2.10",)))
    assert found.proxy_header == "x-remote-user"
    for header in ("Cookie", "Authorization", "host", "", "X User", "X:Y", "a\nb"):
        told = Told(proxy_header=header, names=("pages.example",))
        assert refusal(told).code == "ACC-10"


@pytest.mark.parametrize(
    ("told", "code"),
    [
        (Told(host="pages.example"), "ACC-10"),
        (Told(host="192.0.2"), "ACC-10"),
        (Told(names=("http://pages.example",)), "ACC-10"),
        (Told(names=("pages.example:80",)), "ACC-10"),
        (Told(names=("*",)), "ACC-10"),
        (Told(proxies=("192.0.2.10",)), "ACC-12"),
        (Told(proxy_header="X-Remote-User", proxies=("everybody",)), "ACC-10"),
        (Told(proxy_header="X-Remote-User", passwords="p"), "ACC-12"),
        (Told(certificate="c.pem"), "ACC-12"),
        (Told(certificate="gone.pem", private_key="gone.pem"), "ACC-15"),
        (Told(passwords="gone.txt"), "ACC-01"),
    ],
    ids=str,
)
def test_what_is_told_wrongly_is_one_sentence(told: Told, code: str) -> None:
    assert refusal(told).code == code


def test_a_file_of_nobody_is_refused(tmp_path: Path) -> None:
    place = tmp_path / "p"
    place.write_text(passwords.HEAD)
    place.chmod(0o600)
    assert refusal(Told(passwords=str(place))).code == "ACC-12"


def test_the_command_refuses_before_it_listens(capsys) -> None:
    assert main(["serve", "--no-browser", "--host", "0.0.0.0"]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1
    assert "ACC-11" in err and "who may come in" in err


@pytest.mark.system
def test_a_certificate_and_its_key_are_looked_at(people: str, tmp_path: Path) -> None:
    """Needs openssl."""
    if shutil.which("openssl") is None:
        pytest.skip("openssl is not installed")
    for name in ("one", "other"):
        words = f"-newkey rsa:2048 -nodes -subj /CN=localhost -days 2 -keyout {name}.key -out {name}.pem"
        subprocess.run(
            ["openssl", "req", "-x509", *words.split()], cwd=tmp_path, check=True, capture_output=True
        )
    cert, key, other = (str(tmp_path / name) for name in ("one.pem", "one.key", "other.key"))
    told = Told(host="192.0.2.7", passwords=people, certificate=cert, private_key=key)
    assert setting_of(told).scheme == "https"
    assert refusal(Told(certificate=cert, private_key=other)).code == "ACC-15"
