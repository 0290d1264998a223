"""Where the checks across a works write down what they find."""

from __future__ import annotations

from collections.abc import Iterable

from linesim.errors import Problem, nearest, said
from linesim.works.model import Works
from linesim.works.nodes import MOST_TOLD, Path
from linesim.works.shape import shape_at

__all__ = ["Report"]

_MOST_LISTED = 12


class Report:
    """The problems of one works.

    Parameters
    ----------
    works : Works
        Accepted by the models.
    gone : frozenset of tuple
        Places of entries that were taken out of it, because they are wrong.
    """

    def __init__(self, works: Works, gone: frozenset[Path] = frozenset()) -> None:
        self.works = works
        self.gone = gone
        self.problems: list[Problem] = []

    def is_gone(self, path: Path) -> bool:
        """Whether an entry, or something around it, was taken out."""
        return any(path[:end] in self.gone for end in range(1, len(path) + 1))

    def gone_within(self, path: Path) -> list[Path]:
        """Return the places within an entry from which something was taken out, or the entry itself if it was."""
        return [place for place in self.gone if place[: len(path)] == path or path[: len(place)] == place]

    def add(self, path: Path, text: str, hint: str = "", rests_on: Iterable[Path] = ()) -> None:
        """Write down a problem at a place, unless it may only come of an entry that was taken out.

        Parameters
        ----------
        path : tuple of str and int
            Where the problem is.
        text, hint : str
            As in `Problem`.
        rests_on : iterable of tuple
            Other entries without which there might be no problem.
        """
        if len(self.problems) < MOST_TOLD and not any(self.is_gone(place) for place in (path, *rests_on)):
            self.problems.append(self.works.problem(path, text, hint))

    def known(self, path: Path, name: str, known: Iterable[str], kind: str, within: Path | None = None) -> bool:
        """Write down a name that is not known, with the nearest that is.

        Parameters
        ----------
        path : tuple of str and int
            Where the name stands.
        name : str
            What it says.
        known : iterable of str
            Names that it could say.
        kind : str
            What they name, with its article: "a feature of this line".
        within : tuple of str and int, optional
            The group in which they are defined; those that were taken out of it are known, but cannot be used.

        Returns
        -------
        bool
            Whether the name leads to something.
        """
        names = list(known)
        if name in names or len(self.problems) >= MOST_TOLD:
            return name in names
        rests_on = [] if within is None else [(*within, name)]
        names += [str(place[-1]) for place in self.gone if within is not None and place[:-1] == within]
        listed = ", ".join(names[:_MOST_LISTED]) + (", ..." if len(names) > _MOST_LISTED else "")
        wanted = f"one of {listed} was expected" if len(names) > 1 else f"{listed or 'none'} is all there is"
        near = nearest(name, names)
        hint = f"Did you mean {said(near)}?" if near else ""
        self.add(path, f"{said(name)} is not {kind}; {wanted}", hint, rests_on)
        return False

    def missing(self, path: Path, reason: str, rests_on: Iterable[Path] = ()) -> None:
        """Write down an entry that has to be given, and why."""
        shape = shape_at(type(self.works), path)
        self.add(path, f"missing; {shape.in_words if shape else 'a value'} is needed {reason}", "", rests_on)
