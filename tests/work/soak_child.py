"""The sending process of the soak, to be killed at any moment: sends until all has ended."""

from __future__ import annotations

import sys
from pathlib import Path

from setpiece.cli.terminal import Terminal
from setpiece.store.matches import find_match
from setpiece.store.workspace import Workspace
from setpiece.work.desk.deliver import send_waiting
from setpiece.work.desk.link import Patience

if __name__ == "__main__":
    space = Workspace.open(Path(sys.argv[1]))
    hasty = Patience(first_pause_s=0.05, longest_pause_s=0.4)
    send_waiting(space, find_match(space, None), Terminal(), until_done=True, patience=hasty)
    space.close()
