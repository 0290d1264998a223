"""What a policy does beside changing cutters: aims, corrections, overhauls, batches, in the words of the shop."""

from __future__ import annotations

from functools import reduce

from linesim.words import KeptText, keep
from linesim.works.ageing import OverhaulEvery
from linesim.works.part_types import Sequence
from linesim.works.policies import Policy
from linesim.works.setting import Aim, CorrectionChange

__all__ = ["aim_words", "correction_words", "lever_words", "mix_words", "overhaul_words", "sequence_words"]


def lever_words(policy: Policy) -> list[str]:
    """What a policy does beside changing cutters, a few words for each.

    >>> from linesim.works.policies import Rule
    >>> lever_words(Policy(default=Rule(life=1), aims={"blade": "centred", "mill": -2}, rezero={"blade": 30}))
    ['blade aimed at the middle of its drift', 'mill aimed 2 µm shallower', 'blade set anew after 30 parts']
    """
    aims = [keep("policies.aimed", name=name, aim=aim_words(aim)) for name, aim in policy.aims.items()]
    corrections = [_of(name, correction_words(change)) for name, change in policy.corrections.items()]
    anew = [keep("policies.rezero", name=name, count=parts) for name, parts in policy.rezero.items()]
    overhauls = [_of(name, overhaul_words(every)) for name, every in policy.overhauls.items()]
    at_once = [keep("moves.at_once")] if policy.changes == "when due" else []
    return [*aims, *corrections, *anew, *overhauls, *at_once, *mix_words(policy)]


def _of(name: str, does: str) -> str:
    return keep("policies.of", name=name, does=does)


def overhaul_words(every: OverhaulEvery) -> str:
    """When machines are overhauled, as the end of a sentence that begins with their operation.

    >>> overhaul_words(6000.0)
    'overhauled every 100 h of cutting'
    """
    if every == "never":
        return keep("policies.never_overhauled")
    return keep("policies.overhauled", hours=float(every) / 60.0)


def mix_words(policy: Policy) -> list[str]:
    """What a policy says of part types, a few words for each.

    >>> from linesim.works.policies import Rule
    >>> mix_words(Policy(default=Rule(life=1), batches={"block": {"A": 40, "B": 20}}, sequences={"Op 20": "in turn"}))
    ['block in batches of 40 A and 20 B', 'Op 20 in turn']
    """
    ordered: list[str] = []
    for line, batches in policy.batches.items():
        first, *others = [f"{count} {name}" for name, count in batches.items()]
        text = reduce(lambda before, last: keep("format.and", first=before, last=last), others, first)
        ordered.append(keep("moves.in_batches", line=line, batches=text))
    return [*ordered, *(_of(operation, sequence_words(each)) for operation, each in policy.sequences.items())]


def sequence_words(sequence: Sequence) -> KeptText:
    """In which order a machine takes waiting parts of several types."""
    return keep(f"policies.in_order_{sequence}")


def aim_words(aim: Aim) -> str:
    """Where a fresh edge is set, as the end of a sentence that begins with "aimed".

    >>> aim_words(6.0)
    '6 µm deeper'
    """
    if aim == "centred":
        return keep("moves.aim_centred")
    return keep("moves.aim_deeper" if float(aim) >= 0.0 else "moves.aim_shallower", amount=abs(float(aim)))


def correction_words(change: CorrectionChange) -> str:
    """What a gauge does with its readings, as the end of a sentence that begins with the gauge.

    >>> correction_words(CorrectionChange(share=0.5, dead_band=3))
    'corrects 0.5 of what it reads beyond 3 µm'
    >>> correction_words(CorrectionChange(share=0.5, every=4))
    'corrects 0.5 of what it reads, one part in 4'
    """
    if change.every is not None:
        often = keep("gauges.every_part") if change.every == 1 else keep("gauges.one_in", every=change.every)
        if change.share is None and change.dead_band is None:
            return keep("policies.reads", often=often)
        does = correction_words(change.model_copy(update={"every": None}))
        return keep("policies.does_reads", does=does, often=often)
    if change.share == 0.0:
        return keep("policies.corrects_nothing")
    share, band = change.share, change.dead_band
    if share is None:
        return keep("policies.corrects") if band is None else keep("policies.corrects_beyond", band=band)
    if band is None:
        return keep("policies.corrects_share", share=share)
    return keep("policies.corrects_share_beyond", share=share, band=band)
