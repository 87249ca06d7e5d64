"""Clients that are slow, or leave: nobody holds the pages up, and no work goes on for nobody."""

from __future__ import annotations

import importlib
import socket
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import uvicorn
from starlette.routing import Route

from turnwright.web import answering, guard, patience
from turnwright.web import app as application
from turnwright.web.serve import listening

HEAD = b"POST / HTTP/1.1\r\nHost: localhost\r\n"
FORM = b"Content-Type: application/x-www-form-urlencoded\r\n"
SHORT = 0.4
LONG = 40_000_000


@pytest.fixture(scope="module")
def answers() -> Iterator[object]:
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(str(Path(__file__).parent))
        yield importlib.import_module("work_answers")


@pytest.fixture(scope="module")
def served(answers) -> Iterator[tuple[int, object]]:
    """The server as it is run, with short patience; its port and the application."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(patience, "MOST_HEAD_SECONDS", SHORT)
        patch.setattr(patience, "MOST_TAKING_SECONDS", SHORT)
        patch.setattr(guard, "MOST_BODY_SECONDS", SHORT)
        patch.setattr(answering, "PATIENCE", 0.1)
        made = application.make_app()
        made.router.routes.insert(0, Route("/endless", application._answered(answers.endless)))
        made.router.routes.insert(0, Route("/long", application._answered(answers.long)))
        server = uvicorn.Server(uvicorn.Config(made, **application.options() | {"timeout_keep_alive": 1}))
        with listening(0) as door:
            thread = threading.Thread(target=server.run, kwargs={"sockets": [door]}, daemon=True)
            thread.start()
            yield door.getsockname()[1], made
            server.should_exit = True
            thread.join(20)


@pytest.fixture
def connected(served) -> Iterator[Callable[[bytes], socket.socket]]:
    made: list[socket.socket] = []

    def connect(sent: bytes) -> socket.socket:
        one = socket.create_connection(("127.0.0.1", served[0]), timeout=30)
        made.append(one)
        one.sendall(sent)
        return one

    yield connect
    for one in made:
        one.close()


def all_of(one: socket.socket) -> bytes:
    found = b""
    while part := one.recv(65536):
        found += part
    return found


def until(holds: Callable[[], bool], seconds: float = 20.0) -> bool:
    end = time.monotonic() + seconds
    while not holds() and time.monotonic() < end:
        time.sleep(0.02)
    return holds()


@pytest.mark.parametrize("sent", [b"", b"GET", HEAD, HEAD + b"X: " + b"y" * 2000])
def test_a_head_that_does_not_come_to_an_end_is_let_go(connected, sent: bytes) -> None:
    begun = time.monotonic()
    assert all_of(connected(sent)) == b""
    assert time.monotonic() - begun < 15


def test_a_head_that_comes_byte_by_byte_is_let_go(connected) -> None:
    one = connected(HEAD)
    with pytest.raises(OSError):
        for _ in range(200):
            one.sendall(b"X: y\r\n")
            time.sleep(0.05)


def test_the_second_head_of_a_connection_has_its_clock_too(connected) -> None:
    one = connected(b"GET /static/mark.svg HTTP/1.1\r\nHost: localhost\r\n\r\n")
    assert one.recv(65536).startswith(b"HTTP/1.1 200")
    one.sendall(b"GET / HT")
    all_of(one)


def test_a_body_that_does_not_come_to_an_end_is_told(connected) -> None:
    found = all_of(connected(HEAD + FORM + b"Content-Length: 100\r\n\r\ntext="))
    assert found.startswith(b"HTTP/1.1 408") and b"WEB-08" in found


def test_a_head_of_any_length_is_refused(connected) -> None:
    try:
        found = all_of(connected(HEAD + b"X: " + b"y" * 200_000 + b"\r\n\r\n"))
    except ConnectionError:
        return
    assert found.startswith(b"HTTP/1.1 400") or found == b""


def test_many_slow_clients_do_not_keep_a_quick_one_out(connected) -> None:
    for _ in range(60):
        connected(HEAD)
    found = connected(b"GET /static/mark.svg HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
    assert all_of(found).startswith(b"HTTP/1.1 200")


def test_an_answer_that_nobody_takes_is_let_go(connected, served) -> None:
    one = connected(b"GET /long HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
    time.sleep(SHORT)
    assert until(lambda: served[1].state.work.limiter.borrowed_tokens == 0)
    time.sleep(4 * SHORT)
    try:
        assert len(all_of(one)) < LONG
    except ConnectionError:
        return


def test_work_for_somebody_who_has_left_is_ended(connected, served) -> None:
    """A cancelled download: the worker is ended, and the next answer does not wait for it."""
    limiter = served[1].state.work.limiter
    one = connected(b"GET /endless HTTP/1.1\r\nHost: localhost\r\n\r\n")
    assert until(lambda: limiter.borrowed_tokens == 1)
    one.close()
    assert until(lambda: limiter.borrowed_tokens == 0)
    found = connected(b"GET /static/mark.svg HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
    assert all_of(found).startswith(b"HTTP/1.1 200")


@pytest.mark.parametrize(
    "sent",
    [
        b"\x00\x01\x02\r\n\r\n",
        b"GET / HTTP/9.9\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: localhost\r\nHost: example.com\r\n\r\n",
        HEAD + b"Content-Length: 3\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\nGET /x HTTP/1.1\r\n\r\n",
        HEAD + b"Content-Length: -1\r\n\r\n",
        HEAD + b"X: a\r\n b\r\nX\x00: c\r\n\r\n",
        b"GET /\r\nX: y HTTP/1.1\r\n\r\n",
    ],
)
def test_a_request_that_is_none_or_two_is_refused(connected, sent: bytes) -> None:
    """Request smuggling and header injection: one answer, a refusal, and the connection ends."""
    found = all_of(connected(sent))
    assert found.startswith((b"HTTP/1.1 4", b"HTTP/1.0 4"))
    assert found.count(b"HTTP/1.") == 1
