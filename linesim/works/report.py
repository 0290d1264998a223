"""Where the checks across a works write down what they find."""

from __future__ import annotations

from collections.abc import Iterable

from linesim.errors import Problem, nearest, said
from linesim.works.model import Works
from linesim.works.nodes import Path
from linesim.works.shape import shape_at

__all__ = ["Report"]

_MOST_LISTED = 12


class Report:
    """The problems of one works.

    Parameters
    ----------
    works : Works
        Accepted by the models.
    """

    def __init__(self, works: Works) -> None:
        self.works = works
        self.problems: list[Problem] = []

    def add(self, path: Path, text: str, hint: str = "") -> None:
        """Write down a problem at a place."""
        self.problems.append(self.works.problem(path, text, hint))

    def known(self, path: Path, name: str, known: Iterable[str], kind: str) -> bool:
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

        Returns
        -------
        bool
            Whether the name is known.
        """
        names = list(known)
        if name in names:
            return True
        listed = ", ".join(names[:_MOST_LISTED]) + (", ..." if len(names) > _MOST_LISTED else "")
        wanted = f"one of {listed} was expected" if len(names) > 1 else f"{listed or 'none'} is all there is"
        near = nearest(name, names)
        self.add(path, f"{said(name)} is not {kind}; {wanted}", f"Did you mean {said(near)}?" if near else "")
        return False

    def missing(self, path: Path, reason: str) -> None:
        """Write down an entry that has to be given, and why."""
        shape = shape_at(type(self.works), path)
        self.add(path, f"missing; {shape.in_words if shape else 'a value'} is needed {reason}")
