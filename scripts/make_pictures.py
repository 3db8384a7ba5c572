"""Remakes the pictures that the README and docs/ show, from the demo works as it is planned now."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from truebed.actions.demo import run_demo

ROOT = Path(__file__).resolve().parent.parent
PICTURES = ROOT / "docs" / "pictures"
#: picture -> (site pack, page)
PAGES = {
    "closure-sheet": ("frost-night-site-pack.pdf", 1),
    "night-chart": ("tallow-night-site-pack.pdf", 2),
    "site-sheet": ("tallow-night-site-pack.pdf", 4),
    "levels-sheet": ("tallow-night-site-pack.pdf", 5),
    "numbers-sheet": ("tallow-night-site-pack.pdf", 6),
}
DOTS_PER_INCH = 80


def main() -> int:
    """Plan the demo, take the pages as pictures, say which."""
    tool = shutil.which("pdftoppm")
    if tool is None:
        print("no pdftoppm: `make tools` brings poppler-utils from Debian's packages (needs root)")
        return 1
    PICTURES.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory() as place:
        made = run_demo(Path(place) / "demo", print)
        for name, (pack, page) in PAGES.items():
            where = ["-f", str(page), "-l", str(page), "-r", str(DOTS_PER_INCH), "-gray", "-png", "-singlefile"]
            subprocess.run([tool, *where, str(made.out / pack), str(PICTURES / name)], check=True)
            print(f"wrote docs/pictures/{name}.png")
    return 0


if __name__ == "__main__":
    sys.exit(main())
