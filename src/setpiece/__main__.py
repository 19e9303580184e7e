"""`python -m setpiece`: the commands."""

from setpiece.cli.main import run

if __name__ == "__main__":  # a process that is started apart reads this file too
    run()
