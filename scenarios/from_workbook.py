"""From a workbook to a recommendation: run cell by cell in an editor, or whole, in the project's folder."""

# %%
import tempfile
from datetime import date
from pathlib import Path

import linesim
from linesim.report.page.brief_page import brief_page
from linesim.study.advice.brief import Brief
from linesim.works.book.writing import to_workbook

# %% A workbook: here the smallest demo written as one; yours you have filled in
folder = Path(tempfile.mkdtemp())
book = folder / "my-line.xlsx"
book.write_bytes(to_workbook(linesim.load_works("scenarios/smallest.yaml")))

# %% The line as the workbook has it, run for three days at a time; what holds it on paper
works = linesim.changed(linesim.load_works(book), {"run": {"length": "3 days"}})
print(linesim.desk_figures(works).constraints[["line", "operation", "parts_per_hour"]].to_string(index=False))

# %% Which policy is best, and how sure is that?
comparison = linesim.compare(works, replications=8, workers=1)
print(*comparison.sentences[:2], sep="\n")

# %% What to change first, in order of money
brief = Brief(linesim.advise(works, replications=6, workers=1))
print(*brief.sentences, sep="\n")

# %% What would make it wrong, and the page for whoever decides
print(*brief.doubts, sep="\n")
(folder / "brief.html").write_text(brief_page(brief, date.today()), encoding="utf-8")  # noqa: DTZ011
