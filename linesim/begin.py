"""The first command on a fresh machine: makes an environment for linesim, and runs linesim or its tests in it.

Needs nothing but Python 3.11 or newer and this folder. ``python3 -m linesim.begin compare scenarios/block-line.yaml``
makes ``.venv`` beside this package if it is not there or out of date, installs linesim into it, and hands all arguments
to the ``linesim`` command; ``--tests`` runs the tests instead, and ``--docs`` writes the pages of all public names into
``build/docs`` or a folder that is named. The system's own Python is left as it is.

What is installed is what ``locked/`` beside this file names, each file by its hash. ``--newest`` before the rest takes
the newest of everything within the bounds of ``pyproject.toml`` instead, in an environment of its own.

First come pip, as it is locked, and the few packages on which the compiled engine rests; it is compiled while the
others are fetched. That saves seconds and decides nothing: where it does not end well, the command that needs the
engine compiles it, or says why not.
"""

from __future__ import annotations

import os
import sys

from linesim.starting import leave_current_folder

if __name__ == "__main__":
    leave_current_folder()  # before anything else is imported: it may hold files named like modules

import hashlib
import re
import shutil
import subprocess
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

__all__ = ["main"]

ROOT = Path(__file__).resolve().parent.parent
ENVIRONMENT = ROOT / ".venv"
LOCKS = ROOT / "linesim" / "locked"
PAGES = ROOT / "build" / "docs"
OLDEST = (3, 11)
BROWSERS = ("chromium", "chromium-browser", "google-chrome")
ENGINE = (
    *("numpy", "llvmlite", "numba", "pydantic", "pydantic-core", "annotated-types", "typing-extensions"),
    *("typing-inspection", "pyyaml", "cachetools", "platformdirs", "python-calamine", "simpy"),
)
"""What the compiled engine rests on."""

Command = Sequence[str | Path]


class CannotBeginError(Exception):
    """The environment cannot be made; the text says what to do."""


def main(arguments: Sequence[str]) -> int:
    """Make the environment if need be, then run linesim, or its tests, with the arguments.

    Returns
    -------
    int
        Exit code: that of what was run, or 2 if the environment could not be made.
    """
    if sys.version_info < OLDEST:
        return _tell(f"Python {'.'.join(map(str, OLDEST))} or newer is needed; this is {sys.version.split()[0]}")
    is_newest = bool(arguments) and arguments[0] == "--newest"
    arguments = arguments[1:] if is_newest else arguments
    wants_tests, wants_docs = ([word] == list(arguments[:1]) for word in ("--tests", "--docs"))
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # modules are compiled as they are imported
    try:
        python = _environment("test" if wants_tests else "run", is_newest, _scenarios(arguments))
        if wants_docs:
            _have_for_docs(python)
    except CannotBeginError as error:
        return _tell(str(error))
    command: Command = [python, "-P", "-m", "linesim", *arguments]
    if wants_tests:
        _have_for_tests()
        command = [python, "-m", "pytest", "-n", "auto", "--dist", "worksteal", *arguments[1:]]
        os.chdir(ROOT)
    if wants_docs:
        folder = Path(arguments[1]).resolve() if len(arguments) > 1 else PAGES
        command = [python, "-m", "pdoc", "--docformat", "numpy", "--output-directory", folder, "linesim"]
        os.chdir(ROOT)
    return _hand_over([str(word) for word in command])


def _hand_over(command: Sequence[str]) -> int:
    """Become the command where the system can do that, so that whoever ends this process ends the command."""
    if os.name == "posix":
        sys.stdout.flush()
        os.execv(command[0], list(command))
    try:
        return subprocess.run(command, check=False).returncode
    except KeyboardInterrupt:
        return 130


def _tell(text: str) -> int:
    print(f"linesim: {text}", file=sys.stderr)
    return 2


def _scenarios(arguments: Sequence[str]) -> list[str]:
    """Files among the arguments that are likely to be asked about."""
    return [word for word in arguments if word.endswith((".yaml", ".yml")) and Path(word).is_file()]


def _environment(purpose: str, is_newest: bool, scenarios: Sequence[str]) -> Path:
    """Python of the environment, made or brought up to date as needed; what these scenarios take is compiled.

    Raises
    ------
    CannotBeginError
        With what to do about it.
    """
    folder = ENVIRONMENT.with_name(f"{ENVIRONMENT.name}-newest") if is_newest else ENVIRONMENT
    python = folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    mark = folder / f"linesim-ready-{purpose}"
    wanted = _state(purpose)
    if python.exists() and mark.exists() and mark.read_text(encoding="utf-8") == wanted and not is_newest:
        return python
    print("linesim: making ready (first use only; this takes about a minute) ...", file=sys.stderr, flush=True)
    if not python.exists():
        _make(folder, python)
    if is_newest or not _install_locked(python, LOCKS / f"{purpose}.txt", scenarios):
        _install_loosely(python, str(ROOT) if purpose == "run" else f"{ROOT}[{purpose}]", is_newest)
    mark.write_text(wanted, encoding="utf-8")
    return python


def _state(purpose: str) -> str:
    """Digest of all that decides what is in the environment."""
    digest = hashlib.sha256(str(ROOT).encode())
    for path in (ROOT / "pyproject.toml", LOCKS / f"{purpose}.txt"):
        digest.update(path.read_bytes() if path.exists() else b"")
    return digest.hexdigest()


def _install_locked(python: Path, lock: Path, scenarios: Sequence[str]) -> bool:
    """Install what is locked, each file by its hash, and compile the engine meanwhile; whether it fits this machine."""
    if _installed_as_locked(python, lock, ["pip"]) and _installed_as_locked(python, lock, ENGINE):
        own: Command = ["--no-deps", "--no-build-isolation", "--editable", ROOT]
        with _compiling(python, scenarios) as compiler:
            if _installed_as_locked(python, lock) and _installed(_installer(python), own):
                if compiler.poll() is None:
                    _works([python, "-P", "-c", "import linesim.cli.compare"])  # Python compiles what it imports, too
                    compiler.wait()
                return True
    _tell("what is locked does not fit this machine (see above); the newest that linesim's bounds allow serves")
    return False


def _installed_as_locked(python: Path, lock: Path, names: Sequence[str] | None = None) -> bool:
    """Install these packages, or all of them, each file by its hash; the lock leaves nothing out that another needs."""
    wanted = lock
    if names is not None:
        entries = re.split(r"\n(?=\S)", lock.read_text(encoding="utf-8"))
        wanted = python.parent / "linesim-first.txt"
        wanted.write_text("\n".join(each for each in entries if each.split("==")[0] in names), encoding="utf-8")
    return _installed(_installer(python), ["--no-compile", "--no-deps", "--require-hashes", "--requirement", wanted])


@contextmanager
def _compiling(python: Path, scenarios: Sequence[str]) -> Iterator[subprocess.Popen[bytes]]:
    """Another process compiles the engine for some scenarios; it ends with the block."""
    command: Command = [python, "-m", "linesim.fast.warming", *(Path(name).resolve() for name in scenarios)]
    none = subprocess.DEVNULL
    with subprocess.Popen(command, cwd=ROOT, stdin=none, stdout=none, stderr=none) as compiler:
        try:
            yield compiler
        finally:
            compiler.kill()


def _install_loosely(python: Path, target: str, is_newest: bool) -> None:
    """Install what the bounds allow, the newest of it if that is asked for."""
    newest = ["--upgrade", "--upgrade-strategy", "eager"] if is_newest else []
    if not _installed(_installer(python), [*newest, "--editable", target, "pip"]):
        raise CannotBeginError(
            "the packages that linesim needs could not be installed (see above). "
            "Check that this machine reaches a Python package index, and run the command again"
        )


def _installed(installer: Command, what: Command) -> bool:
    surroundings = os.environ | {"PYTHONWARNINGS": "ignore"}  # a newer pip passes on what setuptools warns of
    command: Command = [*installer, "install", "--quiet", *what]
    return subprocess.run(command, cwd=ROOT, env=surroundings, check=False).returncode == 0


def _make(folder: Path, python: Path) -> None:
    """Make the environment in one of the ways that Python installations allow."""
    if not os.access(ROOT, os.W_OK):
        raise CannotBeginError(f"{ROOT} cannot be written to; copy the folder to a place of your own and begin there")
    is_made = _works([sys.executable, "-m", "venv", "--without-pip", folder])
    if is_made and _works([*_from_outside(python), "--version"]):
        return  # its own pip comes with the packages, sooner than venv would put one there
    shutil.rmtree(folder, ignore_errors=True)
    if _works([sys.executable, "-m", "venv", folder]):
        return
    shutil.rmtree(folder, ignore_errors=True)
    if hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get") and _with_apt(folder):
        return
    raise CannotBeginError(
        f"{sys.executable} can make no environment (its venv module is not complete). "
        "On Debian and its kin: apt-get install python3-venv, as an administrator; then run the command again"
    )


def _have_for_docs(python: Path) -> None:
    """Have what writes the pages of the public names; it is not among what is locked, as nothing runs on it."""
    if not _installed(_installer(python), ["--editable", f"{ROOT}[docs]"]):
        raise CannotBeginError("pdoc could not be installed (see above), so that the pages cannot be written")


def _have_for_tests() -> None:
    """Have the browser and the database server that tests start for themselves; without one they fail and say so."""
    if not any(shutil.which(name) for name in BROWSERS):
        _have("chromium", "the tests in tests/browser")
    if not shutil.which("pg_config") and not any(Path("/usr/lib/postgresql").glob("*/bin/initdb")):
        _have("postgresql", "the tests of the store")


def _have(package: str, what_for: str) -> None:
    """Install a package of Debian's where that is possible, else say that it is missing."""
    if hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get"):
        print(f"linesim: getting {package} for {what_for} (first use only) ...", file=sys.stderr, flush=True)
        quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        for step in (["update", "-qq"], ["install", "-y", "-qq", package]):
            done = subprocess.run(["apt-get", *step], env=quiet, check=False, stdout=subprocess.DEVNULL)
        if done.returncode == 0:
            return
    _tell(
        f"there is no {package} on this machine, so that {what_for} will fail; install it "
        f"(Debian and its kin: apt-get install {package}, as an administrator)"
    )


def _with_apt(folder: Path) -> bool:
    """Let Debian's own packages complete Python's venv module, then try again."""
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    version = f"python{sys.version_info.major}.{sys.version_info.minor}-venv"
    subprocess.run(["apt-get", "update", "-qq"], env=quiet, check=False)
    for package in (version, "python3-venv"):
        installed = subprocess.run(["apt-get", "install", "-y", "-qq", package], env=quiet, check=False)
        if installed.returncode == 0 and _works([sys.executable, "-m", "venv", folder]):
            return True
        shutil.rmtree(folder, ignore_errors=True)
    return False


def _installer(python: Path) -> Command:
    """The command that installs into the environment: its own pip, or the system's working on it."""
    if _works([python, "-m", "pip", "--version"]):
        return [python, "-m", "pip", "--disable-pip-version-check"]
    return _from_outside(python)


def _from_outside(python: Path) -> Command:
    """The system's own pip, working on the environment."""
    return [sys.executable, "-m", "pip", "--disable-pip-version-check", "--python", python]


def _works(command: Command) -> bool:
    """Run a command quietly, in linesim's own folder; tell whether it went well."""
    return subprocess.run(command, cwd=ROOT, capture_output=True, check=False).returncode == 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
