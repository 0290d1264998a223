"""What every study can be asked with, in one record."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any, Literal, TypedDict, TypeVar, Unpack

from linesim.errors import StudyError
from linesim.study.crew.crew import Crew
from linesim.study.one.runs import check_key
from linesim.study.statistics.selection import BestKnown
from linesim.study.statistics.sequential import HalfWidth
from linesim.works import Works

__all__ = ["USUAL", "Settings", "SpanWanted", "StudyOptions", "Until", "asked", "check_confidence"]

Until = HalfWidth | BestKnown | None
"""When to stop: at a half width, when the best is known, or after a number of replications given beforehand."""

SpanWanted = float | Literal["auto"] | None
"""A length of time in worked minutes; "auto" for one chosen by pilot runs, None for the scenario's."""

AnyStudy = TypeVar("AnyStudy")

_USUAL_CREW = Crew()


class Settings(TypedDict, total=False):
    """`StudyOptions` by keyword, with ``workers`` in place of a crew."""

    replications: int | None
    seed: int | None
    confidence: float
    engine: str
    rules: Sequence[str | Path]
    crew: Crew | None
    workers: int | None
    warm_up: SpanWanted
    length: SpanWanted
    until: Until


@dataclass(frozen=True)
class StudyOptions:
    """How a study is carried out, whatever it asks.

    Attributes
    ----------
    replications : int or None
        Runs of everything that is run, 1 or more; the study's usual number unless given, mostly the scenario's.
    seed : int or None
        Key of all chance, 0 to 2**63 - 1; the scenario's unless given.
    confidence : float
        Of the intervals, between 0 and 1.
    engine : {"fast", "simpy"}
        Which engine runs it; both give the same. Policies with a rule of one's own in Python run on SimPy, and the
        findings say so.
    rules : tuple of str or pathlib.Path
        Python files with rules of one's own, loaded here and in the workers. A rule made known in any other way is
        known in this process only, so a study that needs it runs in this process.
    crew : Crew
        Who carries the runs out. The outcome is the same whoever does.
    warm_up, length : float, "auto" or None
        Minutes cut off before anything is counted, and minutes counted; the scenario's unless given. "auto": chosen by
        pilot runs; see `linesim.study.comparing.spans`. Comparisons of policies only.
    until : HalfWidth, BestKnown or None
        Go on until a half width is reached or the best is known. Comparisons only.
    """

    replications: int | None = None
    seed: int | None = None
    confidence: float = 0.95
    engine: str = "fast"
    rules: tuple[str | Path, ...] = ()
    crew: Crew = _USUAL_CREW
    warm_up: SpanWanted = None
    length: SpanWanted = None
    until: Until = None

    @classmethod
    def of(cls, **settings: Unpack[Settings]) -> StudyOptions:
        """Options by keyword.

        Parameters
        ----------
        **settings
            As the attributes; ``workers`` (processes to use, 1 or more) stands for a crew of that size.

        Returns
        -------
        StudyOptions

        Raises
        ------
        StudyError
            Fewer than one worker is asked for.
        """
        given: dict[str, Any] = dict(settings)
        workers, crew = given.pop("workers", None), given.pop("crew", None)
        if workers is not None and workers < 1:
            raise StudyError(f"{workers} workers were asked for; at least 1 was expected")
        return cls(**given | {"rules": tuple(given.get("rules", ())), "crew": crew or Crew(workers)})

    def seed_for(self, works: Works, last_replication: int = 0) -> int:
        """The key of all chance, checked together with the greatest replication that will be used.

        Raises
        ------
        StudyError
            One of them is negative or too large.
        """
        seed = works.run.seed if self.seed is None else self.seed
        check_key(seed, last_replication)
        return seed

    def count_for(self, usual: int, least: int = 1) -> int:
        """Replications, checked together with the confidence that they are to give.

        Parameters
        ----------
        usual : int
            Unless another number was asked for.
        least : int
            The fewest that make sense.

        Returns
        -------
        int

        Raises
        ------
        StudyError
            There are fewer, or the confidence is no share between 0 and 1.
        """
        count = usual if self.replications is None else self.replications
        if count < least:
            tail = ", and 2 for an interval" if least == 1 else ", so that there are intervals"
            expected = f"at least {least} {'was' if least == 1 else 'were'} expected"
            raise StudyError(f"{count} replications were asked for; {expected}{tail}")
        check_confidence(self.confidence)
        return count


USUAL: StudyOptions = StudyOptions()
"""Nothing asked for: the scenario's seed and replications, intervals of 95 %, the fast engine, the usual crew."""


def check_confidence(confidence: float) -> None:
    """See to it that a confidence can be.

    Raises
    ------
    StudyError
        It is not between 0 and 1.
    """
    if not 0.0 < confidence < 1.0:
        raise StudyError(f"a confidence of {confidence:g} cannot be; a share between 0 and 1 such as 0.95 was expected")


def asked(study: Callable[..., AnyStudy], given: Mapping[str, Any]) -> AnyStudy:
    """A study from plain values by name, as a page or a file has them.

    Parameters
    ----------
    study : type
        A kind of study: a dataclass with a field ``options``.
    given : mapping
        Its own fields, and any of `Settings`.

    Returns
    -------
    object
        The study, with those settings in its options.
    """
    own = {each.name for each in fields(study)} - {"options"}  # type: ignore[arg-type]
    settings: Any = {name: value for name, value in given.items() if name not in own}
    return study(**{name: given[name] for name in given if name in own}, options=StudyOptions.of(**settings))
