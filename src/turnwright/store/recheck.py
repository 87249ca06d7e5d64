"""A kept job computed again: does it answer today as it did?"""

from __future__ import annotations

import json

from turnwright.errors import InputError
from turnwright.intake import read_job
from turnwright.model.as_json import result_to_json
from turnwright.narrow.compare import moved
from turnwright.narrow.select import select
from turnwright.store.records import Head, Recheck, Revision


def rechecked(revision: Revision) -> Recheck:
    """Return what a revision answers today against what it answered then."""
    head = Head(**{name: getattr(revision, name) for name in Head.__struct_fields__})
    then = json.loads(revision.result)
    try:
        now = result_to_json(select(read_job(revision.job_text, revision.key), ledger_open=False, ask=False))
    except InputError as error:
        return Recheck(revision=head, changed={}, gone=(), new=(), error=str(error))
    move = moved("today", then, now)
    return Recheck(revision=head, changed=move.result, gone=move.gone, new=move.new)
