"""`python -m benchmarks`: every benchmark in its quick form, one after the other."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

FOLDER = Path(__file__).resolve().parent
HELPERS = frozenset({"__init__", "__main__", "card_files", "plain_browser"})


def main() -> int:
    """Runs them all; the number of those that failed."""
    failed = 0
    for path in sorted(FOLDER.glob("*.py")):
        if path.stem in HELPERS:
            continue
        quick = ["--quick"] if '"--quick"' in path.read_text("utf-8") else []
        print(f"\n{path.stem}", flush=True)
        module = [sys.executable, "-m", f"benchmarks.{path.stem}", *quick]
        failed += subprocess.run(module, cwd=FOLDER.parent, check=False).returncode != 0
    return failed


if __name__ == "__main__":
    sys.exit(main())
