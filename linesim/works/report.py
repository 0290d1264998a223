"""Where the checks across a works write down what they find."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from linesim.errors import Problem, hint_at, quoted
from linesim.works.model import Works
from linesim.works.nodes import Path, has_room
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
        self._depths_gone = sorted({len(place) for place in gone})
        self._hollow = {place[:end] for place in gone for end in range(len(place))}
        self._names_gone: dict[Path, list[str]] = {}
        for place in gone:
            self._names_gone.setdefault(place[:-1], []).append(str(place[-1]))

    def is_gone(self, path: Path) -> bool:
        """Whether an entry, or something around it, was taken out."""
        return any(path[:depth] in self.gone for depth in self._depths_gone)

    def is_touched(self, path: Path) -> bool:
        """Whether an entry, something around it or something within it was taken out."""
        return path in self._hollow or self.is_gone(path)

    def is_order_gone(self, operations: Path) -> bool:
        """Whether an `after` was taken out of a group of operations, so that their order is not known."""
        depth = len(operations) + 2
        return any(len(place) == depth and place[-1] == "after" and place[:-2] == operations for place in self.gone)

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
        if has_room(self.problems) and not any(self.is_gone(place) for place in (path, *rests_on)):
            self.problems.append(self.works.problem(path, text, hint))

    def known(self, path: Path, name: str, known: Collection[str], kind: str, within: Path | None = None) -> bool:
        """Write down a name that is not known, with the nearest that is.

        Parameters
        ----------
        path : tuple of str and int
            Where the name stands.
        name : str
            What it says.
        known : collection of str
            Names that it could say; a mapping or a set if there may be many.
        kind : str
            What they name, with its article: "a feature of this line".
        within : tuple of str and int, optional
            The group in which they are defined; those that were taken out of it are known, but cannot be used.

        Returns
        -------
        bool
            Whether the name leads to something.
        """
        if name in known:
            return True
        place = None if within is None else (*within, name)
        if has_room(self.problems) and not self.is_gone(path) and not (place and self.is_gone(place)):
            names = [*known, *(self._names_gone.get(within, []) if within is not None else [])]
            listed = ", ".join(names[:_MOST_LISTED]) + (", ..." if len(names) > _MOST_LISTED else "")
            wanted = f"one of {listed} was expected" if len(names) > 1 else f"{listed or 'none'} is all there is"
            self.add(path, f"{quoted(name)} is not {kind}; {wanted}", hint_at(name, names))
        return False

    def missing(self, path: Path, reason: str, rests_on: Iterable[Path] = ()) -> None:
        """Write down an entry that has to be given, and why."""
        if not has_room(self.problems):
            return
        shape = shape_at(type(self.works), path)
        self.add(path, f"missing; {shape.in_words if shape else 'a value'} is needed {reason}", "", rests_on)
