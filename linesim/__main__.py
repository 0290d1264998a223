"""``python -m linesim`` is the ``linesim`` command."""

from linesim.cli import main

if __name__ == "__main__":
    main()
