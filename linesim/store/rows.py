"""What the store holds, as plain values."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, NamedTuple

__all__ = ["OWNER", "Pruned", "StoredRun", "StoredStudy", "StoredWorks"]

OWNER = "owner"
"""Name under which the settings of a study say whose it is."""


@dataclass(frozen=True)
class StoredWorks:
    """A scenario.

    Attributes
    ----------
    digest : str
        Of its content.
    name : str
        What it is called.
    text : str
        The scenario file, complete in itself.
    """

    digest: str
    name: str
    text: str


@dataclass(frozen=True)
class StoredRun:
    """One run.

    Attributes
    ----------
    key : str
        Digest of everything that determines its outcome.
    works : str
        Digest of the scenario that it belongs to; its text need not have the policy of this run.
    policy, policy_text : str
        Name of the policy when it was run first, and what it says, as JSON.
    seed, replication : int
        Key of all chance.
    version : str
        Of the model.
    outcome : str
        What was kept of it; JSON.
    kept_at : str
        When it was kept: UTC, ISO 8601; empty before it is.
    """

    key: str
    works: str
    policy: str
    policy_text: str
    seed: int
    replication: int
    version: str
    outcome: str
    kept_at: str = ""


@dataclass(frozen=True)
class StoredStudy:
    """One study.

    Attributes
    ----------
    number : int
        By which it is called.
    kind : str
        What was asked, such as ``compare``.
    name : str
        Given by the user; may be empty.
    works, works_name : str
        Digest and name of the scenario.
    settings : dict
        Everything else that was asked; plain values.
    version : str
        Of the model.
    status : str
        ``running`` (or killed), ``stopped``, ``failed`` or ``finished``.
    begun_at, changed_at : str
        When it was begun and when it last got on: UTC, ISO 8601.
    runs : int
        Runs that belong to it so far.
    answer : dict
        The answer in short; empty until there is one.
    """

    number: int
    kind: str
    name: str
    works: str
    works_name: str
    settings: dict[str, Any]
    version: str
    status: str
    begun_at: str
    changed_at: str
    runs: int
    answer: dict[str, Any] = field(default_factory=dict)

    @property
    def owner(self) -> str:
        """Whose it is on a server that serves many; empty for one that was begun elsewhere."""
        return str(self.settings.get(OWNER, ""))


class Pruned(NamedTuple):
    """What pruning takes, or would take, away."""

    studies: int
    runs: int
    works: int
    kilobytes: int
