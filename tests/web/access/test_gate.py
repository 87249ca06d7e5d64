"""Who comes in, and who does not."""

import base64
import logging
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from argon2 import PasswordHasher
from starlette.testclient import TestClient

from turnwright.web.access import passwords
from turnwright.web.access.attempts import MOST_FROM_ONE, MOST_KEPT, MOST_OF_ONE, WINDOW_S, Attempts
from turnwright.web.access.sessions import HOURS, MOST_SESSIONS, Sessions
from turnwright.web.access.setting import Told, setting_of
from turnwright.web.app import make_app

WORDS = "three words and more"
NAME = "pages.example"
EVERY_KIND = ("/", "/vet", "/tables", "/tables/nec_450_3b", "/rules", "/cautions", "/access", "/nothing")
GUESS = "hunter2-hunter2"


@pytest.fixture(scope="module", autouse=True)
def quick_hashes() -> Iterator[None]:
    """How strong a hash is, is not the question here."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(passwords, "hasher", lambda: PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
        passwords._nobodys.cache_clear()
        yield
    passwords._nobodys.cache_clear()


@pytest.fixture(scope="module")
def people(tmp_path_factory: pytest.TempPathFactory) -> str:
    place = tmp_path_factory.mktemp("people") / "people.txt"
    passwords.put_password(place, "mira", WORDS)
    return str(place)


@pytest.fixture
def opened(people: str) -> Callable[..., TestClient]:
    """Return the pages behind passwords, as a browser at an address sees them; each call is a new server."""

    def client(address: str = "192.0.2.50", base: str = f"https://{NAME}", **told: object) -> TestClient:
        asked = {"host": "192.0.2.7", "names": (NAME,), "passwords": people, "behind_tls": True} | told
        app = make_app(setting=setting_of(Told(**asked)))
        return TestClient(
            app, base_url=base, client=(address, 5), follow_redirects=False, raise_server_exceptions=False
        )

    return client


def signed(client: TestClient, password: str = WORDS, **more: str):
    return client.post("/sign-in", data={"name": "mira", "password": password} | more)


@pytest.mark.parametrize("path", EVERY_KIND)
def test_nobody_sees_a_page_without_signing_in(opened, path: str) -> None:
    answer = opened().get(path)
    assert answer.status_code == 303
    assert answer.headers["location"] == f"/sign-in?to={path}"


@pytest.mark.parametrize("path", ["/", "/vet", "/open", "/job.toml", "/papers/memo.pdf", "/sign-out"])
def test_nobody_gets_an_answer_without_signing_in(opened, path: str) -> None:
    answer = opened().post(path, data={"text": ""})
    assert answer.status_code == 401
    assert "Sign in" in answer.text


@pytest.mark.parametrize("path", ["/api/select", "/api/tables", "/api/openapi.json", "/api/nothing"])
def test_no_program_gets_an_answer_without_a_name(opened, path: str) -> None:
    for headers in (
        {},
        {"authorization": "Bearer x"},
        {"authorization": "Basic ?"},
        {"authorization": "Basic"},
    ):
        answer = opened().get(path, headers=headers)
        assert answer.status_code == 401
        assert answer.headers["www-authenticate"].startswith("Basic realm")
        assert answer.json()["error"]["code"] == "ACC-20"


def test_what_draws_the_page_to_sign_in_on_is_there_for_everybody(opened) -> None:
    client = opened()
    assert client.get("/static/pages.css").status_code == 200
    assert client.get("/static/../app.py").status_code in (303, 404)
    page = client.get("/sign-in?to=/rules")
    assert page.status_code == 200 and 'type="password"' in page.text


def test_signing_in_opens_the_pages_until_signing_out(opened) -> None:
    client = opened()
    answer = signed(client, to="/cautions")
    assert (answer.status_code, answer.headers["location"]) == (303, "/cautions")
    cookie = answer.headers["set-cookie"]
    for flag in ("__Host-turnwright=", "HttpOnly", "Secure", "SameSite=strict", "Path=/"):
        assert flag in cookie
    assert "Domain" not in cookie and "mira" not in cookie
    assert client.get("/access").status_code == 200
    assert "mira is signed in" in client.get("/access").text
    kept = dict(client.cookies)
    assert client.post("/sign-out").headers["location"] == "/sign-in"
    client.cookies.clear()
    client.cookies.update(kept)
    assert client.get("/access").status_code == 303, "the word counted after signing out"


def test_each_sign_in_has_a_word_of_its_own(opened) -> None:
    client = opened()
    client.cookies.set("__Host-turnwright", "chosen-by-somebody-else")
    words = {signed(client).cookies["__Host-turnwright"] for _ in range(2)}
    assert len(words) == 2 and "chosen-by-somebody-else" not in words
    assert all(len(word) >= 43 for word in words)


def test_a_new_password_ends_the_sessions_of_the_old_one(opened, tmp_path: Path) -> None:
    place = tmp_path / "p"
    passwords.put_password(place, "mira", WORDS)
    client = opened(passwords=str(place))
    signed(client)
    assert client.get("/access").status_code == 200
    passwords.put_password(place, "mira", WORDS)
    assert client.get("/access").status_code == 303
    passwords.put_password(place, "jon", WORDS)
    passwords.put_password(place, "mira", None)
    assert signed(client).status_code == 401


def test_what_was_typed_goes_on_after_signing_in(opened, read_page, pump_house: str) -> None:
    """A session that ended, or a server started again, costs nobody their job."""
    client = opened()
    markup = '</textarea>"><img src=x>'
    typed = {"text": pump_house, "base": pump_house, "f.choices.growth": "25 %", "f.title": markup}
    first = read_page(client.post("/", data=typed).text)
    assert not first.all("img") and first.unbalanced == []
    fields = [(each["name"], each["value"]) for each in first.all("input", type="hidden")]
    answer = client.post("/sign-in", data=dict(fields) | {"name": "mira", "password": WORDS})
    assert answer.status_code == 200 and "set-cookie" in answer.headers
    second = read_page(answer.text)
    assert second.all("form")[0]["action"] == "/"
    kept = {each["name"]: each["value"] for each in second.all("input", type="hidden")}
    assert {name: text.replace("\r\n", "\n") for name, text in kept.items()} == typed
    page = client.post("/", data=kept)
    assert page.status_code == 200 and "112.5 kVA" in page.text


def test_a_button_of_a_page_says_that_nobody_is_signed_in(opened) -> None:
    answer = opened().post("/", data={"text": ""}, headers={"hx-request": "true"})
    assert answer.status_code == 401
    assert "still stands here" in answer.text and "www-authenticate" not in answer.headers


@pytest.mark.parametrize(
    "to",
    [
        "https://example.com",
        "//example.com",
        "/\\example.com",
        "/sign-out",
        "/a\r\nSet-Cookie: x=y",
        "javascript:x",
    ],
)
def test_signing_in_leads_nowhere_else(opened, to: str) -> None:
    answer = signed(opened(), to=to)
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    assert "x=y" not in answer.headers["set-cookie"]


def test_a_wrong_password_is_told_without_saying_what_is_wrong(opened) -> None:
    client = opened()
    told = []
    for name in ("mira", "nobody"):
        answer = client.post("/sign-in", data={"name": name, "password": GUESS})
        assert answer.status_code == 401 and "set-cookie" not in answer.headers
        told.append(answer.text.replace(name, "?"))
    assert told[0] == told[1]
    assert GUESS not in told[0]


def test_tries_are_counted_before_they_are_looked_at(opened, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(passwords.Passwords, "check", lambda self, name, password: password == WORDS)
    client = opened()
    for _ in range(MOST_OF_ONE):
        assert signed(client, GUESS).status_code == 401
    answer = signed(client)
    assert answer.status_code == 429 and 0 < int(answer.headers["retry-after"]) <= WINDOW_S
    assert "too many tries" in answer.text
    basic = base64.b64encode(f"mira:{WORDS}".encode()).decode()
    answer = client.get("/api/tables", headers={"authorization": f"Basic {basic}"})
    assert answer.status_code == 429 and "retry-after" in answer.headers


def test_tries_end_and_are_forgotten() -> None:
    now = 0.0
    attempts = Attempts(clock=lambda: now)
    assert [attempts.wait_s("a", "mira") for _ in range(MOST_OF_ONE)] == [0.0] * MOST_OF_ONE
    assert attempts.wait_s("a", "mira") == WINDOW_S
    assert attempts.wait_s("b", "mira") == 0.0, "one address must not lock a name out for all"
    for number in range(MOST_FROM_ONE - MOST_OF_ONE):
        assert attempts.wait_s("a", f"name {number}") == 0.0
    assert attempts.wait_s("a", "one more") > 0
    now = WINDOW_S
    assert attempts.wait_s("a", "mira") == 0.0
    attempts.succeeded("a", "mira")
    for number in range(MOST_KEPT + 10):
        attempts.wait_s(str(number), "x")
    assert len(attempts._times) <= MOST_KEPT


def test_sessions_end_and_are_few() -> None:
    now = 0.0
    sessions = Sessions(clock=lambda: now)
    word = sessions.begin("mira", "m")
    assert sessions.name_of(word, lambda name: "m") == "mira"
    assert sessions.name_of(word, lambda name: None) is None
    now = HOURS * 3600
    assert sessions.name_of(word, lambda name: "m") is None
    for _ in range(MOST_SESSIONS + 5):
        sessions.begin("mira", "m")
    assert len(sessions._known) == MOST_SESSIONS
    assert word not in str(sessions._known)


def test_programs_send_name_and_password(opened, pump_house: str) -> None:
    basic = base64.b64encode(f"mira:{WORDS}".encode()).decode()
    headers = {"authorization": f"Basic {basic}", "content-type": "application/toml"}
    answer = opened().post("/api/select", content=pump_house, headers=headers)
    assert answer.status_code == 200 and answer.json()["pick"]["kva"] == 75
    assert opened().get("/rules", headers=headers).status_code == 303, "pages are opened by signing in"


def test_no_log_holds_what_was_typed(opened, own_log: pytest.LogCaptureFixture) -> None:
    client = opened()
    with own_log.at_level(logging.DEBUG):
        signed(client, GUESS)
        client.post("/sign-in", data={"name": GUESS, "password": "x"})
        word = signed(client).cookies["__Host-turnwright"]
        client.get("/access")
    ours = [record.getMessage() for record in own_log.records if record.name.startswith("turnwright")]
    assert ours == ["a try to sign in from 192.0.2.50 failed"] * 2
    assert not any(secret in own_log.text for secret in (GUESS, WORDS, word))


def test_only_the_names_of_the_pages_are_answered(opened) -> None:
    client = opened()
    for host in ("127.0.0.1", "localhost", "192.0.2.7", "example.com", "", "[::1", "pages.example.com"):
        answer = client.get("/sign-in", headers={"host": host})
        assert answer.status_code == 421, host
        assert "another name" in answer.text
    assert client.get("/sign-in", headers={"host": f"{NAME}:8443"}).status_code == 200


def test_another_site_cannot_sign_anybody_in_or_out(opened) -> None:
    client = opened()
    signed(client)
    elsewhere = [
        {"origin": f"http://{NAME}"},
        {"origin": "null"},
        {"sec-fetch-site": "cross-site"},
        {"origin": "https://x.example"},
    ]
    for headers in elsewhere:
        for path in ("/sign-in", "/sign-out", "/", "/api/select"):
            answer = client.post(path, data={"name": "mira", "password": WORDS}, headers=headers)
            assert answer.status_code == 403, (path, headers)
    assert client.post("/sign-out", headers={"origin": f"https://{NAME}"}).status_code == 303


def test_a_proxy_names_who_asks(opened) -> None:
    told = {"passwords": None, "proxy_header": "X-Remote-User", "proxies": ("192.0.2.10", "198.51.100.0/28")}
    for address in ("192.0.2.10", "198.51.100.3"):
        client = opened(address, **told)
        answer = client.get("/access", headers={"x-remote-user": "Mira"})
        assert answer.status_code == 200 and "Mira is signed in at the proxy" in answer.text
        for headers in ({}, {"x-remote-user": ""}, {"x-remote-user": "  "}, {"remote-user": "Mira"}):
            assert client.get("/access", headers=headers).status_code == 403
        assert (
            client.get("/access", headers=[("x-remote-user", "a"), ("x-remote-user", "b")]).status_code == 403
        )
        assert client.get("/api/openapi.json", headers={"x-remote-user": "Mira"}).status_code == 200
        assert client.get("/sign-in", headers={"x-remote-user": "Mira"}).headers["location"] == "/access"


@pytest.mark.parametrize("address", ["192.0.2.11", "198.51.100.16", "testclient"])
def test_nobody_but_the_proxy_can_name_somebody(opened, address: str) -> None:
    client = opened(
        address, passwords=None, proxy_header="X-Remote-User", proxies=("192.0.2.10", "198.51.100.0/28")
    )
    forged = {"x-remote-user": "Mira", "x-forwarded-for": "192.0.2.10", "forwarded": "for=192.0.2.10"}
    for path in ("/", "/access", "/api/tables", "/sign-in"):
        answer = client.get(path, headers=forged)
        assert answer.status_code == 403 and "ACC-21" in answer.text


def test_the_server_believes_no_header_about_where_a_request_comes_from() -> None:
    from turnwright.web.app import options

    assert options()["proxy_headers"] is False


def test_on_this_machine_alone_nobody_signs_in(client) -> None:
    assert "Only whoever works on this machine" in client.get("/access").text
    assert str(client.get("/sign-in").url).endswith("/access")
