"""What a measured chamber top changed against the estimate, in sentences."""

from __future__ import annotations

from truebed.plan.design import Designed


def what_changed(before: Designed | None, after: Designed) -> tuple[str, ...]:
    """Sentences on what measuring the chamber top changed; always at least one.

    before      the same cover designed on the estimate, None where that was not possible
    Valid       designs of one cover
    Source      house (comparison of two designs)
    Proved by   tests/plan/test_changed.py
    """
    if before is None:
        return ("on the estimate the cover could not be designed; on the measured top it can",)
    said = [_top(before, after), *_bed(before, after), *_levels(before, after), *_kits(before, after)]
    return tuple(said)


def _top(before: Designed, after: Designed) -> str:
    off = after.ground.top.plane.level_mm - before.ground.top.plane.level_mm
    rim = 1000.0 * after.ground.top.plane.slope_x_ratio, 1000.0 * after.ground.top.plane.slope_y_ratio
    where = "higher" if off > 0.0 else "lower"
    return (
        f"chamber top {off if off > 0.0 else -off:.0f} mm {where} than estimated, its slope "
        f"{rim[0]:+.1f} mm/m along and {rim[1]:+.1f} mm/m to the left (+ rises)"
    )


def _bed(before: Designed, after: Designed) -> list[str]:
    was, now = before.design.setting, after.design.setting
    return [
        f"bed {was.bed_least_mm:.0f} to {was.bed_most_mm:.0f} mm becomes {now.bed_least_mm:.0f} to "
        f"{now.bed_most_mm:.0f} mm"
    ]


def _levels(before: Designed, after: Designed) -> list[str]:
    moved = [
        f"{new.name} {new.rim_mm - old.rim_mm:+.1f}"
        for old, new in zip(before.design.setting.corners, after.design.setting.corners, strict=True)
        if round(new.rim_mm - old.rim_mm, 1) != 0.0
    ]
    return [f"levels to set move: {', '.join(moved)} mm"] if moved else ["levels to set do not move"]


def _kits(before: Designed, after: Designed) -> list[str]:
    was = {k.pour: k.kits for k in before.design.kits}
    said = [
        f"{kits.pour}: {was.get(kits.pour, 0)} kits become {kits.kits}"
        for kits in after.design.kits
        if kits.kits != was.get(kits.pour, 0)
    ]
    return said if said else ["kits stay the same"]
