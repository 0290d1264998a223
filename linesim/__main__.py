"""``python -m linesim`` is the ``linesim`` command."""

from linesim.starting import leave_current_folder

if __name__ == "__main__":
    leave_current_folder()  # before anything else is imported: it may hold files named like modules

from linesim.cli import main

if __name__ == "__main__":
    main()
