"""``python -m tests.cli.sillmark``: the command line as a process of its own, without an installation."""

from evidence.cli import main

if __name__ == "__main__":
    main()
