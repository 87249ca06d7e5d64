"""Jobs kept: every save is a revision that never changes, with who, when, which tool and tables, and the answer."""

from turnwright.store.records import KeptJob, Recheck, Revision, Saved
from turnwright.store.store import Store, default_url

__all__ = ["KeptJob", "Recheck", "Revision", "Saved", "Store", "default_url"]
