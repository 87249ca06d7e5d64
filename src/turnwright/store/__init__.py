"""Jobs kept: every save is a revision that never changes, with who, when, which tool and tables, and the answer."""

from turnwright.store.engine import default_url
from turnwright.store.query import Asked
from turnwright.store.records import Head, JobList, KeptJob, Recheck, Revision, Saved
from turnwright.store.store import MOST_LISTED, Store

__all__ = [
    "MOST_LISTED",
    "Asked",
    "Head",
    "JobList",
    "KeptJob",
    "Recheck",
    "Revision",
    "Saved",
    "Store",
    "default_url",
]
