"""``linesim prove``: how well the fit of the shop's records foretells what it has not seen."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from linesim.cli.carrying import last_step
from linesim.cli.command import command
from linesim.cli.options import Local
from linesim.cli.output import announce_compiling, command_line
from linesim.cli.reports import ReportOutlet
from linesim.errors import StudyError
from linesim.records.mapping import load_mapping
from linesim.records.reading import Records, read_records
from linesim.report.page.proof_page import proof_page
from linesim.report.terminal.proof import proof_text
from linesim.study.proof.study import ProofStudy
from linesim.works import load_works

__all__ = ["mapped_records", "prove"]

Files = Annotated[
    list[Path],
    typer.Argument(
        metavar="RECORDS... FILE",
        help="Mappings of records (YAML, from linesim records --guess), then the scenario.",
        show_default=False,
    ),
]


@command
def prove(files: Files, asked: Local, out: ReportOutlet) -> None:
    """Prove the fit of the shop's records: part is held back, foretold from the rest, and set against what happened."""
    if len(files) < 2:
        raise StudyError("a mapping of records and a scenario were expected: linesim prove RECORDS.yaml FILE")
    works, records = load_works(files[-1]), mapped_records(files[:-1])
    out.check("verdicts", "foretold")
    if records.of("counts"):
        announce_compiling("fast")
    study = ProofStudy(works, records, asked.options())
    answer, _ = last_step(study.steps(), "foretelling", not out.as_json)
    out.put(
        answer.tables,
        answer.provenance,
        answer.as_dict,
        lambda: proof_text(answer),
        lambda: proof_page(answer, command_line()),
        works=None,
    )


def mapped_records(mappings: list[Path]) -> Records:
    """Read all that some mappings name.

    Raises
    ------
    ScenarioError
        One of them cannot be read.
    """
    every = Records()
    for path in mappings:
        every += read_records(load_mapping(path), path.parent)
    return every
