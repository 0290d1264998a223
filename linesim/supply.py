"""What linesim rests on: the packages that it needs, with their versions and licences, as they are installed here."""

from __future__ import annotations

import re
from importlib import metadata
from pathlib import Path
from typing import NamedTuple

__all__ = ["UNKNOWN", "Supplied", "own_licence", "supplied"]

UNKNOWN = "not stated"

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
_LONGEST = 60
"""Signs of a licence by name; some packages put its whole text there."""


class Supplied(NamedTuple):
    """A package that linesim needs.

    Attributes
    ----------
    name, version : str
        As it is installed.
    licence : str
        As the package states it; `UNKNOWN` where it does not.
    needed_by : str
        linesim, or the package for whose sake it is there.
    """

    name: str
    version: str
    licence: str
    needed_by: str


def own_licence() -> str:
    """The licence of linesim itself, in full."""
    return (Path(__file__).parent / "LICENSE").read_text(encoding="utf-8")


def supplied(of: str = "linesim") -> list[Supplied]:
    """Every package that is needed by another, directly or through others, and is installed here; sorted by name.

    Parameters
    ----------
    of : str
        Where to begin.

    Returns
    -------
    list of Supplied
        Extras are left out, unless something that is needed asks for them.
    """
    known: dict[str, Supplied] = {}
    waiting = [(of, "")]
    while waiting:
        name, needed_by = waiting.pop()
        if _key(name) in known:
            continue
        try:
            package = metadata.distribution(name)
        except metadata.PackageNotFoundError:  # not needed on this platform
            continue
        known[_key(name)] = Supplied(package.name, package.version, _licence(package), needed_by)
        waiting += [(need, package.name) for need in _needs(package)]
    del known[_key(of)]
    return sorted(known.values(), key=lambda each: each.name.lower())


def _needs(package: metadata.Distribution) -> list[str]:
    plain = [need for need in package.requires or () if "extra ==" not in need]
    return [match[0] for need in plain if (match := _NAME.match(need))]


def _key(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def _licence(package: metadata.Distribution) -> str:
    """By the field made for it, else by the classifiers, else by the older field."""
    about = package.metadata
    stated = (about.get_all("License-Expression") or [""])[0]
    classified = [line.split(" :: ")[-1] for line in about.get_all("Classifier") or () if line.startswith("License ::")]
    older = " ".join((about.get_all("License") or [""])[0].split())
    return (
        stated or "; ".join(classified) or (older if len(older) <= _LONGEST else older[:_LONGEST] + " ...") or UNKNOWN
    )
