"""`python -m clubbot` is the same as the `clubbot` command."""

from clubbot.cli import main

if __name__ == "__main__":
    raise SystemExit(main())
