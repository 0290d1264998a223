"""A page as a PDF: by WeasyPrint if it is installed, else by a Chromium of this machine; the same HTML either way."""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from collections.abc import Callable
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path

from linesim.errors import StudyError
from linesim.report.files.page_file import check_place
from linesim.report.files.whole import write_whole

__all__ = ["can_print", "check_pdf", "write_pdf"]

_CHROMIUMS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "msedge")
_MOST_S = 120.0
_HOW = (
    "write the page with --html, open it in a browser and print it to a file there; or install linesim with its extra "
    '"pdf" (WeasyPrint), or Chromium'
)
_MAGIC = b"%PDF-"


def can_print() -> bool:
    """Whether something on this machine writes a PDF."""
    return _printer() is not None


def check_pdf(path: Path, is_forced: bool) -> None:
    """See to it that a PDF can be written, before anything is made for it.

    Raises
    ------
    StudyError
        Nothing here can write one, the path is a folder, its folder is missing, or a file lies there that is no PDF.
    """
    if not can_print():
        raise StudyError(f"{path}: there is nothing on this machine that writes a PDF; {_HOW}")
    check_place(path, "the PDF", "cards.pdf")
    if path.exists() and not is_forced:
        raise StudyError(f"{path} lies there already; name another file, or add --force to overwrite it")


def write_pdf(path: Path, page: str, is_forced: bool = False) -> None:
    """Write a page as a PDF, whole or not at all.

    Parameters
    ----------
    path : pathlib.Path
        The file.
    page : str
        HTML that says the size of its paper and reaches for nothing outside itself.
    is_forced : bool
        Whether a file that lies there may be overwritten.

    Raises
    ------
    StudyError
        As for `check_pdf`, or what prints it has failed.
    """
    check_pdf(path, is_forced)
    printer = _printer()
    assert printer is not None
    write_whole(path, lambda beside: printer(page, beside))


def _printer() -> Callable[[str, Path], None] | None:
    """What writes a PDF on this machine."""
    if find_spec("weasyprint") is not None:
        return _by_weasyprint
    program = next(filter(None, map(shutil.which, _CHROMIUMS)), None)
    return None if program is None else lambda page, path: _by_chromium(program, page, path)


def _by_weasyprint(page: str, path: Path) -> None:
    printer = import_module("weasyprint")
    printer.HTML(string=page, url_fetcher=_nothing_from_outside).write_pdf(path, pdf_tags=True)


def _nothing_from_outside(url: str, *_: object, **__: object) -> dict[str, object]:
    raise StudyError(f"the page asks for {url}; a sheet reaches for nothing outside itself")


def _by_chromium(program: str, page: str, path: Path) -> None:
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        source = Path(folder) / "page.html"
        source.write_text(page, encoding="utf-8")
        command = [
            program,
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            f"--user-data-dir={folder}/profile",
            "--no-pdf-header-footer",
            "--generate-pdf-document-outline",
            f"--print-to-pdf={path}",
            source.as_uri(),
        ]
        try:
            done = subprocess.run(command, capture_output=True, check=False, timeout=_MOST_S)  # noqa: S603 - ours
        except subprocess.TimeoutExpired as error:
            raise StudyError(f"{program} had not printed the page after {_MOST_S:g} s; {_HOW}") from error
    if not path.is_file() or not path.read_bytes().startswith(_MAGIC):
        last = done.stderr.decode(errors="replace").strip().splitlines()[-1:] or ["it said nothing"]
        raise StudyError(f"{program} could not print the page ({last[0]}); {_HOW}")
