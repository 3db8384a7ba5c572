"""Remakes the pictures that the README and docs/ show, from the demo works and the how-to as they are planned now."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from pypdf import PdfReader

from truebed.actions.demo import run_demo
from truebed.actions.plan import plan_works
from truebed.actions.record import points_from_file, record_chamber_top

ROOT = Path(__file__).resolve().parent.parent
PICTURES = ROOT / "docs" / "pictures"
#: picture -> (site pack, the cover whose page it is or '' for the closure's own, which of its pages)
PAGES = {
    "closure-sheet": ("frost-night-site-pack.pdf", "", 1),
    "night-chart": ("tallow-night-site-pack.pdf", "", 2),
    "site-sheet": ("weir-night-site-pack.pdf", "W02", 1),
    "levels-sheet": ("weir-night-site-pack.pdf", "W06", 2),
    "numbers-sheet": ("weir-night-site-pack.pdf", "W02", 3),
    "ready-sheet": ("frost-night-site-pack.pdf", "F03", 4),
    "probe-sheet": ("frost-night-site-pack.pdf", "F03", 5),
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


def page_of(pack: Path, cover: str, number: int) -> int:
    """The page of a pack that is that cover's first, second, ...; of the closure's own with no cover."""
    own = [i for i, page in enumerate(PdfReader(pack).pages, start=1) if page.extract_text().startswith(f"{cover} ")]
    return own[number - 1] if cover else number


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
        for name, (pack, cover, number) in PAGES.items():
            page = page_of(made.out / pack, cover, number)
            where = ["-f", str(page), "-l", str(page), "-r", str(DOTS_PER_INCH), "-gray", "-png", "-singlefile"]
            subprocess.run([tool, *where, str(made.out / pack), str(PICTURES / name)], check=True)
            print(f"wrote docs/pictures/{name}.png")
    return 0


if __name__ == "__main__":
    sys.exit(main())
