"""The store: runs, studies and the scenarios they belong to, kept in an embedded SQLite file or in PostgreSQL.

It holds texts under keys and knows nothing of what they mean. A run is kept as soon as it has ended, under a digest of
all that determines it, so that an interrupted study goes on where it stopped; two processes may write at once.
"""

from linesim.store.opening import default_location, is_no_store, open_copy, open_store
from linesim.store.rescuing import Rescued, rescue
from linesim.store.rows import OWNER, Pruned, StoredRun, StoredStudy, StoredWorks
from linesim.store.store import Store

__all__ = [
    "OWNER", "Pruned", "Rescued", "Store", "StoredRun", "StoredStudy", "StoredWorks", "default_location", "is_no_store",
    "open_copy", "open_store", "rescue",
]  # fmt: skip
