"""The result of one run."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from html import escape
from typing import Any, Literal

import pandas as pd

from linesim.errors import RunError
from linesim.ledger import by, ledger_rows, total_minor_units
from linesim.plan.plan import Plan
from linesim.plan.tally import Tally
from linesim.result.characteristics import characteristics
from linesim.result.crib_tables import change_table, gauge_table, people_table, set_table
from linesim.result.first_pieces import first_piece_table
from linesim.result.floor_tables import cause_table, machine_table, operation_table
from linesim.result.indicators import indicator_table
from linesim.result.joining import join_table
from linesim.result.later_tables import later_table
from linesim.result.lines import line_table
from linesim.result.measuring import measuring_table
from linesim.result.parts import part_table
from linesim.result.plain import TABLES, plain_table, plain_value
from linesim.result.staffing import staffing_table
from linesim.result.trouble_tables import blame_table, fault_table
from linesim.result.type_tables import changeover_table, type_table
from linesim.result.words import Finding, findings_of
from linesim.works.model import Works

__all__ = ["Result", "Trace"]


@dataclass(frozen=True, eq=False)
class Trace:
    """What happened, event by event, where a run was watched.

    Attributes
    ----------
    parts : DataFrame
        One row for each part at each operation: line, serial, operation, machine, moments in minutes from the start of
        the run, outcome, and the true values of every place (``deck error_um``, ``bores 2 ra_um`` ...).
    states : DataFrame
        What each machine did from when to when.
    changes : DataFrame
        Cutter sets changed: when, where, why, how far gone.
    sets : DataFrame
        Where cutter sets have come to that are not on a machine, and when: before the grinders, at one of them, on
        order, before the presetters, at one of them, on the shelf, drawn for a machine.
    """

    parts: pd.DataFrame
    states: pd.DataFrame
    changes: pd.DataFrame
    sets: pd.DataFrame


@dataclass(frozen=True, eq=False, repr=False)
class Result:
    """One run with everything that can be read off it; each table is made when it is first asked for.

    Attributes
    ----------
    works, plan : Works, Plan
        What was run, with the policy.
    tally : Tally
        Sums over the counted time.
    seed, replication : int
        Key of all chance of the run.
    engine : {"simpy", "fast"}
        Which engine ran it; both give the same.
    trace : Trace or None
        If the run was watched.
    engine_note : str
        Why another engine ran it than was asked for; empty if none did.
    stopped_at_min : float or None
        The moment at which the run was stopped, if it was; the plan's ``length_min`` is what was counted until then.
    """

    works: Works
    plan: Plan
    tally: Tally
    seed: int
    replication: int
    engine: Literal["simpy", "fast"]
    trace: Trace | None = None
    engine_note: str = ""
    stopped_at_min: float | None = None

    @cached_property
    def lines(self) -> pd.DataFrame:
        """One row per line: output, yields, stock, lead time, cost, quality loss and contribution."""
        return line_table(self.works, self.plan, self.tally, self.ledger)

    @cached_property
    def machines(self) -> pd.DataFrame:
        """One row per machine: minutes and share in each state, parts, breakdowns, stops."""
        return machine_table(self.works, self.plan, self.tally)

    @cached_property
    def operations(self) -> pd.DataFrame:
        """One row per operation: parts, first-pass share, stock and waiting before it."""
        return operation_table(self.works, self.plan, self.tally)

    @cached_property
    def causes(self) -> pd.DataFrame:
        """One row per operation and cause: parts scrapped, recut, salvaged."""
        return cause_table(self.works, self.plan, self.tally)

    @cached_property
    def changes(self) -> pd.DataFrame:
        """One row per mounted cutter set: changes, looks, and how far its edges went."""
        return change_table(self.works, self.plan, self.tally)

    @cached_property
    def sets(self) -> pd.DataFrame:
        """One row per kind of cutter set: circulation, regrinds, waiting."""
        return set_table(self.works, self.plan, self.tally)

    @cached_property
    def people(self) -> pd.DataFrame:
        """One row per pool of people, the tool grinders last: busy share, jobs, waiting."""
        return people_table(self.works, self.plan, self.tally)

    @cached_property
    def staffing(self) -> pd.DataFrame:
        """One row per shift of each pool that does not always attend alike: minutes worked, free and waited for."""
        return staffing_table(self.works, self.plan, self.tally)

    @cached_property
    def gauges(self) -> pd.DataFrame:
        """One row per gauge: readings, right and wrong verdicts, corrections."""
        return gauge_table(self.works, self.plan, self.tally)

    @cached_property
    def faults(self) -> pd.DataFrame:
        """One row per operation whose machines can turn bad: how often, until when unseen, and what was shipped."""
        return fault_table(self.works, self.plan, self.tally)

    @cached_property
    def blame(self) -> pd.DataFrame:
        """One row per gauge and what it charged with the parts that it turned down."""
        return blame_table(self.works, self.plan, self.tally)

    @cached_property
    def first_pieces(self) -> pd.DataFrame:
        """One row per operation that gauges first pieces: how many, how many were off, minutes stood."""
        return first_piece_table(self.works, self.plan, self.tally)

    @cached_property
    def types(self) -> pd.DataFrame:
        """One row per part type of lines that say theirs: castings, shipped, scrapped, lead time, worth."""
        return type_table(self.works, self.plan, self.tally)

    @cached_property
    def changeovers(self) -> pd.DataFrame:
        """One row per operation that changes over between part types: how often, and minutes."""
        return changeover_table(self.works, self.plan, self.tally)

    @cached_property
    def measuring(self) -> pd.DataFrame:
        """One row per operation whose gauges read in the measuring room: answers, minutes to them, parts sorted."""
        return measuring_table(self.works, self.plan, self.tally)

    @cached_property
    def joins(self) -> pd.DataFrame:
        """One row per line whose parts are joined to those of another: joined, left over, stock, waits, fit."""
        return join_table(self.plan, self.tally)

    @cached_property
    def later(self) -> pd.DataFrame:
        """One row per test or field failure and what it is charged to: turned down, repairs, scrapped, failures."""
        return later_table(self.works, self.plan, self.tally)

    @cached_property
    def characteristics(self) -> pd.DataFrame:
        """One row per feature and characteristic: spread, capability, share out of limits, loss."""
        return characteristics(self.works, self.plan, self.tally)

    @cached_property
    def ledger(self) -> pd.DataFrame:
        """Every cost, row by row; see `linesim.ledger`."""
        return ledger_rows(self.works, self.plan, self.tally)

    @cached_property
    def parts(self) -> pd.DataFrame:
        """One row per good part of a watched run: what it has cost, item by item, in hundredths of the currency.

        Raises
        ------
        RunError
            The run was not watched, so that its parts are not known.
        """
        if self.trace is None:
            raise RunError("the parts of this run are not known one by one; run it with a trace")
        return part_table(self.works, self.plan, self.ledger, self.trace.parts)

    @cached_property
    def indicators(self) -> pd.DataFrame:
        """Indicators of ISO 22400-2 by their standard names, per machine and per line."""
        return indicator_table(self.works, self.plan, self.tally)

    @cached_property
    def findings(self) -> list[Finding]:
        """What a person should be told without asking."""
        answer = findings_of(self.works, self.plan, self.tally)
        if self.stopped_at_min is not None:
            answer = [Finding(self._cut_short(self.stopped_at_min), False), *answer]
        return [*answer, Finding(_sentence(self.engine_note), False)] if self.engine_note else answer

    def _cut_short(self, minute: float) -> str:
        asked_min = self.works.run.length
        return (
            f"Cut short: the run was stopped at minute {minute:g}; all figures are those of the "
            f"{self.tally.counted_min:g} minutes counted until then, of {asked_min:g} that were asked for."
        )

    @cached_property
    def summary(self) -> dict[str, Any]:
        """The run in short, as plain values for JSON.

        What was run and how (works, policy, digest, engine, seed, replication, warm-up and where its length comes from,
        counted minutes), whether the floor came to a stand, the lines, the ledger by item, and the findings.
        """
        works, plan, tally = self.works, self.plan, self.tally
        is_given = "warm_up" in works.run.model_fields_set
        items = by(self.ledger, "item") if len(self.ledger) else pd.DataFrame({"item": [], "money": []})
        return {
            "works": works.name,
            "policy": plan.policy,
            "digest": plan.digest,
            "engine": self.engine,
            "seed": self.seed,
            "replication": self.replication,
            "warm_up_min": plan.warm_up_min,
            "warm_up_from": "the scenario" if is_given else "the usual figure, as the scenario gives none",
            "counted_min": tally.counted_min,
            "stopped_at_min": self.stopped_at_min,
            "currency": works.currency,
            "is_stuck": bool(tally.is_stuck),
            "stuck_at_min": plain_value(float(tally.stuck_at_min)),
            "lines": plain_table(self.lines),
            "ledger": {str(row["item"]): plain_value(row["money"]) for row in items.to_dict("records")},
            "ledger_total": total_minor_units(self.ledger) / 100.0,
            "findings": [{"text": each.text, "is_problem": each.is_problem} for each in self.findings],
        }

    def as_dict(self) -> dict[str, Any]:
        """Summary and all tables as plain values for JSON; what is not a number becomes None.

        Returns
        -------
        dict
            ``summary``, and for each table a list of its rows.
        """
        return {"summary": self.summary} | {name: plain_table(getattr(self, name)) for name in TABLES}

    def __repr__(self) -> str:
        """One line: what was run, what it shipped and what a good part cost."""
        lines = ", ".join(
            f"{row['line']}: {row['good_per_hour']:.4g} good parts/h at {row['cost_per_good_part']:.2f} "
            f"{self.works.currency} each"
            for row in self.lines.to_dict("records")
        )
        key = f"seed {self.seed}, replication {self.replication}, {self.engine} engine"
        return f'<Result of "{self.works.name}" under "{self.plan.policy}" ({key}); {lines}>'

    def _repr_html_(self) -> str:
        """The same for a notebook: the line, its figures as a table, and the findings."""
        findings = "".join(f"<li>{escape(finding.text)}</li>" for finding in self.findings)
        table = self.lines.set_index("line").T.to_html(escape=True, float_format="{:.4g}".format)
        return f"<p>{escape(repr(self))}</p>{table}<ul>{findings}</ul>"


def _sentence(text: str) -> str:
    """A remark as a sentence."""
    return f"{text[0].upper()}{text[1:]}."
