"""Works without their policies, and policies, each known by its content: what trial policies of one works share."""

from __future__ import annotations

import hashlib
import json
import pickle
from dataclasses import dataclass
from functools import cached_property

from cachetools import LRUCache

from linesim.works import Works, digest
from linesim.works.model import RunPlan
from linesim.works.policies import Policy

__all__ = ["BASES_AT_HAND", "Base", "Bases", "Policies", "base_of"]

BASES_AT_HAND = 8
"""Works at hand in a process."""


@dataclass(frozen=True, eq=False)
class Base:
    """A works without its policies, and without what makes no difference to a run.

    Attributes
    ----------
    works : Works
        Without policies.
    """

    works: Works

    @cached_property
    def digest(self) -> str:
        """Of its content; name and remarks, seed and number of replications do not count."""
        run = self.works.run
        usual = {"name": "-", "about": "", "run": RunPlan(length=run.length, warm_up=run.warm_up)}
        return digest(self.works.model_copy(update=usual))

    @cached_property
    def packed(self) -> bytes:
        """The works, pickled once for all parcels."""
        return pickle.dumps(self.works, pickle.HIGHEST_PROTOCOL)


def base_of(works: Works) -> Base:
    """A works without its policies."""
    return Base(works.model_copy(update={"policies": {}}))


_known_bases: LRUCache[tuple[int, ...], tuple[Works, Base]] = LRUCache(BASES_AT_HAND)


class Bases:
    """Works without their policies; those that differ in their policies only, share theirs, from study to study."""

    def __init__(self) -> None:
        self._known: dict[tuple[int, ...], tuple[Works, Base]] = {}

    def of(self, works: Works) -> Base:
        """The works without its policies; a copy with other policies is known by the parts it shares."""
        parts = tuple(id(getattr(works, name)) for name in type(works).model_fields if name != "policies")
        if parts not in self._known:
            # The works is held as well, so that no other part can come to stand where one of its parts stood.
            known = _known_bases.get(parts)
            self._known[parts] = _known_bases[parts] = (works, base_of(works)) if known is None else known
        return self._known[parts][1]


class Policies:
    """Digests of policies, each worked out once."""

    def __init__(self) -> None:
        self._known: dict[int, tuple[Policy, str]] = {}

    def of(self, policy: Policy) -> str:
        """Digest of what a policy says; remarks do not count."""
        if id(policy) not in self._known:
            text = json.dumps(policy.model_dump(mode="json", exclude={"about"}), sort_keys=True, allow_nan=False)
            self._known[id(policy)] = policy, hashlib.sha256(text.encode("ascii")).hexdigest()
        return self._known[id(policy)][1]
