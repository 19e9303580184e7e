"""`python -m setpiece`: the commands."""

from setpiece.cli.main import run

run()
