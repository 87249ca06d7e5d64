"""The store against a model of it: any order of saves, searches, two people at once and crashes in between."""

import json
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

sa = pytest.importorskip("sqlalchemy")

from turnwright.errors import UnknownKey  # noqa: E402
from turnwright.store import Asked, Store  # noqa: E402

JOB = 'title = "{title}"\n[supply]\nsystem = "480Y/277"\n[[load]]\nsystem = "208Y/120"\nkva = "{kva} kVA"\n'
KEYS = st.sampled_from(["loft", "quay", "ice house"])
TEXTS = st.builds(
    lambda title, kva: JOB.format(title=title, kva=kva),
    st.sampled_from(["Net loft", "Smoke house"]),
    st.sampled_from([8, 22, 60, 500]),
)
PEOPLE = st.sampled_from(["Ines", "Olav"])


@pytest.fixture(scope="module")
def crasher():
    if not hasattr(__import__("os"), "fork"):
        pytest.skip("needs fork")
    words = [sys.executable, str(Path(__file__).with_name("crashing.py"))]
    with subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout.readline() == "ready\n"
        yield process
        process.stdin.close()


def saves(crasher, url, key, text, after):
    """Return whether a save came to its end; else it was killed before its statement number `after`."""
    asked = {"url": url, "key": key, "text": text, "author": "killed", "after": after}
    crasher.stdin.write(json.dumps(asked) + "\n")
    crasher.stdin.flush()
    how = crasher.stdout.readline().strip()
    assert how in ("ended 0", "killed")
    return how == "ended 0"


def test_a_kill_before_any_statement_of_a_save_loses_nothing(crasher, tmp_path):
    """Before each in turn, the commit included, also while the tables are made; the save after it goes on."""
    for first in (True, False):
        for after in range(1, 60):
            url = f"sqlite:///{tmp_path / f'{first}-{after}.sqlite'}"
            kept = 0
            if not first:
                with Store(url) as store:
                    store.save("loft", JOB.format(title="Net loft", kva=22), author="Ines", saved_at="now")
                kept = 1
            ended = saves(crasher, url, "loft", JOB.format(title="Net loft", kva=60), after)
            with Store(url) as store:
                history = store.history("loft") if store.jobs().total else ()
                assert len(history) == kept + ended
                again = store.save("loft", JOB.format(title="Ice", kva=8), author="Siv", saved_at="now")
                assert again.revision.number == kept + ended + 1
                assert store.jobs(Asked(words="ice", finding="bond-once")).total == 1
            if ended:
                break
        assert ended and after > 8


class Kept(RuleBasedStateMachine):
    """Model: name -> (author, text) of each revision."""

    crasher = None

    @initialize()
    def begin(self):
        self.folder = tempfile.TemporaryDirectory()
        self.url = f"sqlite:///{Path(self.folder.name) / 'jobs.sqlite'}"
        self.store = Store(self.url)
        self.model = {}

    def teardown(self):
        self.store.close()
        self.folder.cleanup()

    @rule(key=KEYS, text=TEXTS, author=PEOPLE, behind=st.integers(0, 3), careful=st.booleans())
    def save(self, key, text, author, behind, careful):
        there = self.model.setdefault(key, [])
        based_on = max(len(there) - behind, 0)
        saved = self.store.save(
            key, text, author=author, saved_at="now", based_on=based_on, if_newest=careful
        )
        assert [one.author for one in saved.meanwhile] == [one[0] for one in there[based_on:]]
        if careful and there[based_on:]:
            assert saved.revision is None
        else:
            there.append((author, text))
            assert saved.revision.number == len(there)

    @rule(key=KEYS, text=TEXTS, careful=st.booleans())
    def two_at_once(self, key, text, careful):
        """Both know the same revision: one is first, the other is told."""
        there = self.model.setdefault(key, [])

        def save(author):
            with Store(self.url) as store:
                return store.save(
                    key, text, author=author, saved_at="now", based_on=len(there), if_newest=careful
                )

        with ThreadPoolExecutor(2) as pool:
            both = list(pool.map(save, ("Ines", "Olav")))
        first, second = sorted(both, key=lambda one: len(one.meanwhile))
        assert not first.meanwhile and [one.author for one in second.meanwhile] == [first.revision.author]
        there.append((first.revision.author, text))
        if careful:
            assert second.revision is None
        else:
            there.append((second.revision.author, text))

    @rule(key=KEYS, text=TEXTS, after=st.integers(1, 14))
    def crash(self, key, text, after):
        """Killed before some statement of a save: it is kept whole or not at all."""
        there = self.model.setdefault(key, [])
        if saves(self.crasher, self.url, key, text, after):
            there.append(("killed", text))

    @rule()
    def come_back(self):
        self.store.close()
        self.store = Store(self.url)

    @invariant()
    def each_history_is_whole(self):
        for key, there in getattr(self, "model", {}).items():
            if not there:
                with pytest.raises(UnknownKey):
                    self.store.history(key)
                continue
            history = self.store.history(key)
            assert [(one.number, one.author) for one in history] == [
                (number, author) for number, (author, _) in enumerate(there, 1)
            ]
            assert self.store.revision(key).job_text == there[-1][1]
            assert self.store.revision(key, 1).job_text == there[0][1]

    @invariant()
    def what_is_found_is_the_newest(self):
        newest = {key: there[-1][1] for key, there in getattr(self, "model", {}).items() if there}
        if not hasattr(self, "store"):
            return
        found = self.store.jobs()
        assert {job.newest.key: job.revisions for job in found.jobs} == {
            key: len(self.model[key]) for key in newest
        }
        assert found.total == len(newest)
        for word in ("loft", "smoke"):
            names = {job.newest.key for job in self.store.jobs(Asked(words=word)).jobs}
            assert names == {key for key, text in newest.items() if word in f"{key} {text}".lower()}
        told = {job.newest.key for job in self.store.jobs(Asked(finding="bond-once")).jobs}
        assert told == set(newest)
        with self.store.engine.connect() as connection:
            assert connection.execute(sa.text("PRAGMA integrity_check")).scalar() == "ok"
            assert connection.execute(sa.text("PRAGMA foreign_key_check")).all() == []


def test_any_order_of_saves_and_crashes_agrees_with_the_model(crasher):
    from hypothesis.stateful import run_state_machine_as_test

    Kept.crasher = crasher
    run_state_machine_as_test(
        Kept,
        settings=settings(
            max_examples=8,
            stateful_step_count=15,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
