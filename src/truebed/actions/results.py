"""All result files of a plan, as bytes."""

from __future__ import annotations

from collections.abc import Callable
from zoneinfo import ZoneInfo

from truebed.drawings.cut_dxf import cut_dxf
from truebed.drawings.departure_diagram import departure_diagram_svg, departure_rows
from truebed.drawings.level_dxf import level_dxf
from truebed.drawings.plan_view import plan_view_svg
from truebed.drawings.road_contours import road_contours_svg
from truebed.drawings.section_view import section_svg
from truebed.drawings.timeline import timeline_svg
from truebed.papers.calendar import programme_ics
from truebed.papers.findings_csv import findings_csv
from truebed.papers.load_list import load_list_xlsx
from truebed.papers.plan_json import plan_json
from truebed.papers.site_pack import site_pack_pdf
from truebed.plan.result import Plan

Progress = Callable[[str], None]
#: Width of a drawing for a screen.
SCREEN_MM = 120.0


def file_name(name: str) -> str:
    """A cover's or closure's name as a safe file name."""
    return "".join(c if c.isalnum() or c in "-_" else "-" for c in name)


def result_files(plan: Plan, tell: Progress) -> dict[str, bytes]:
    """Every result: relative path -> bytes; the same plan gives the same bytes."""
    files = {
        "plan.json": plan_json(plan),
        "findings.csv": findings_csv(plan),
        "load-list.xlsx": load_list_xlsx(plan),
        "programme.ics": programme_ics(plan),
    }
    for closure in plan.closures:
        tell(f"{closure.closure}: drawing and printing")
        label = file_name(closure.closure)
        files[f"{label}-site-pack.pdf"] = site_pack_pdf(plan, closure)
        files[f"drawings/{label}-timeline.svg"] = timeline_svg(closure, ZoneInfo(plan.time_zone)).encode()
        for design in closure.designed:
            cover = file_name(design.cover)
            files[f"drawings/{cover}-cut.dxf"] = cut_dxf(design)
            files[f"drawings/{cover}-cut.svg"] = plan_view_svg(design).encode()
            files[f"drawings/{cover}-section.svg"] = section_svg(design).encode()
            files[f"drawings/{cover}-levels.dxf"] = level_dxf(design)
            files[f"drawings/{cover}-road.svg"] = road_contours_svg(design, design.road_sd_mm, "below").encode()
            rows = departure_rows(design)
            files[f"drawings/{cover}-departure.svg"] = departure_diagram_svg(design.cover, rows, SCREEN_MM).encode()
    return files
