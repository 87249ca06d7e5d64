"""`turnwright serve`: this machine only, prints its address, ends cleanly."""

import importlib.util
import json
import logging
import re
import shutil
import signal
import socket
import ssl
import subprocess
import sys
import urllib.error
import urllib.parse
import urllib.request
from pathlib import Path

import pytest

from turnwright.cli.commands import serve as command
from turnwright.cli.main import main
from turnwright.errors import InputError
from turnwright.web.serve import _of_interest, listening


def test_a_part_that_is_missing_is_one_sentence(monkeypatch: pytest.MonkeyPatch, capsys) -> None:
    there = importlib.util.find_spec
    monkeypatch.setattr(command, "find_spec", lambda name: None if name == "uvicorn" else there(name))
    assert main(["serve", "--no-browser"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert "pip install 'turnwright[web]'" in err


def test_a_port_that_is_taken_or_none_is_one_sentence(capsys) -> None:
    with listening(0) as door:
        port = door.getsockname()[1]
        assert door.getsockname()[0] == "127.0.0.1"
        assert door.proto == socket.IPPROTO_TCP  # or short answers wait for an acknowledgement
        assert main(["serve", "--no-browser", "--port", str(port)]) == 2
    assert "WEB-20" in capsys.readouterr().err
    assert main(["serve", "--no-browser", "--port", "99999"]) == 2
    with pytest.raises(InputError) as caught:
        listening(-1)
    assert caught.value.code == "WEB-20"


@pytest.mark.skipif(sys.platform == "win32", reason="sends a signal")
@pytest.mark.parametrize(
    "start", [["-m", "turnwright"], ["-c", "from turnwright.cli.main import main; main()"]]
)
def test_it_answers_until_ctrl_c(start: list[str]) -> None:
    words = [sys.executable, *start, "serve", "--no-browser", "--format", "json"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as served:
        assert served.stdout is not None
        assert served.stderr is not None
        try:
            address = json.loads(served.stdout.readline())["address"]
            assert re.fullmatch(r"http://127\.0\.0\.1:\d+/", address)
            with urllib.request.urlopen(address, timeout=30) as answer:
                assert b"New job" in answer.read()
        finally:
            served.send_signal(signal.SIGINT)
        assert served.wait(timeout=20) == 0
        assert served.stderr.read() == ""


def test_only_what_is_of_interest_is_logged() -> None:
    """`asyncio` warns of a child that was waited for in two places; it does so where a worker is being ended."""
    gone = logging.LogRecord(
        "asyncio", logging.WARNING, "", 0, "Unknown child process pid %d, will", (7,), None
    )
    other = logging.LogRecord("asyncio", logging.ERROR, "", 0, "Task exception was never retrieved", (), None)
    assert [_of_interest(gone), _of_interest(other)] == [False, True]


@pytest.mark.system
def test_with_a_certificate_and_passwords_it_answers_encrypted(tmp_path: Path) -> None:
    """Needs openssl."""
    if shutil.which("openssl") is None:
        pytest.skip("openssl is not installed")
    subject = ["-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost"]
    make = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", *subject]
    subprocess.run([*make, "-keyout", "key", "-out", "cert"], cwd=tmp_path, check=True, capture_output=True)
    people, cert, key = (str(tmp_path / name) for name in ("people", "cert", "key"))
    turnwright = [sys.executable, "-m", "turnwright"]
    typed = "three words and more\n"
    subprocess.run([*turnwright, "password", people, "mira"], input=typed, text=True, check=True)
    words = [
        *turnwright,
        "serve",
        "--no-browser",
        "--format",
        "json",
        "--host",
        "0.0.0.0",
        "--name",
        "localhost",
    ]
    words += ["--passwords", people, "--certificate", cert, "--private-key", key]
    trust = ssl.create_default_context(cafile=cert)
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as served:
        assert served.stdout is not None
        assert served.stderr is not None
        try:
            address = json.loads(served.stdout.readline())["address"]
            assert re.fullmatch(r"https://localhost:\d+/", address)
            with urllib.request.urlopen(address, timeout=30, context=trust) as answer:
                assert answer.url.endswith("/sign-in?to=/") and b'type="password"' in answer.read()
            form = urllib.parse.urlencode({"name": "mira", "password": "a guess of somebody"}).encode()
            with pytest.raises(urllib.error.HTTPError, match="401"):
                urllib.request.urlopen(f"{address}sign-in", data=form, timeout=30, context=trust)
        finally:
            served.send_signal(signal.SIGINT)
        assert served.wait(timeout=20) == 0
        assert served.stderr.read() == "a try to sign in from 127.0.0.1 failed\n"


def test_only_this_machine_can_reach_it() -> None:
    with listening(0) as door:
        names = {info[4][0] for info in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)}
        for name in names - {"127.0.0.1"}:
            if name.startswith("127."):
                continue
            with socket.socket() as other, pytest.raises(OSError, match=r"refused|unreachable|timed out"):
                other.settimeout(2)
                other.connect((name, door.getsockname()[1]))
