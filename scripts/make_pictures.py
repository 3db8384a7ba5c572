"""Remakes the pictures that the README and docs/ show, from the demo works and the how-to as they are planned now."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from truebed.actions.demo import run_demo
from truebed.actions.plan import plan_works
from truebed.actions.record import points_from_file, record_chamber_top

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
HOW_TO = ROOT / "docs" / "how-to"
#: measurement of the chamber top that was recorded before ('' for none) -> picture -> drawing
ODD_COVER = {
    "": {"plan": "OB7-cut.svg", "road": "OB7-road.svg", "departure": "OB7-departure.svg"},
    "chamber-top.csv": {"departure-found": "OB7-departure.svg"},
    "chamber-top-dressed.csv": {"section": "OB7-section.svg"},
}


def odd_cover_pictures(place: Path) -> None:
    """The drawings of the how-to page, from the very run that it walks."""
    works = place / "one-odd-cover"
    shutil.copytree(HOW_TO / "one-odd-cover", works)
    for top, pictures in ODD_COVER.items():
        if top:
            record_chamber_top(works, "OB7", points_from_file(HOW_TO / top), "crew lead", dry_run=False)
        plan_works(works, place / "night", print)
        for name, drawing in pictures.items():
            shutil.copy(place / "night" / "drawings" / drawing, PICTURES / f"odd-cover-{name}.svg")
            print(f"wrote docs/pictures/odd-cover-{name}.svg")


def main() -> int:
    """Plan the demo, take the pages as pictures, say which."""
    tool = shutil.which("pdftoppm")
    if tool is None:
        print("no pdftoppm: `make tools` brings poppler-utils from Debian's packages (needs root)")
        return 1
    PICTURES.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory() as place:
        odd_cover_pictures(Path(place))
        made = run_demo(Path(place) / "demo", print)
        for name, (pack, page) in PAGES.items():
            where = ["-f", str(page), "-l", str(page), "-r", str(DOTS_PER_INCH), "-gray", "-png", "-singlefile"]
            subprocess.run([tool, *where, str(made.out / pack), str(PICTURES / name)], check=True)
            print(f"wrote docs/pictures/{name}.png")
    return 0


if __name__ == "__main__":
    sys.exit(main())
