"""Random covers of every shape, turn, kerb, thing in the way, neighbour and chamber top, and a second look at each."""

from dataclasses import replace

import numpy as np
from shapely.geometry import Polygon
from shapely.ops import unary_union

from plan.sample import PLAIN_COVER, case, demo_works
from plan.surveyed import LOW_LID, full_sheet
from truebed.chamber.cut_check import Surroundings, faults_of_cut
from truebed.chamber.kerb import KERB
from truebed.given.cover import Plan2D
from truebed.given.reading import Reading
from truebed.given.survey import Obstacle, Sounding, YardUnit
from truebed.plan.chamber_top import MeasuredTop
from truebed.plan.cutting import fill_width, neighbours_within, placed_of

SHAPES = ("rectangle", "round", "D", "triangular pair")
YARD = (
    YardUnit("ring 30", "ring", 30.0, 4, work_min=15.0),
    YardUnit("course", "course", 75.0, 20, work_min=40.0),
    YardUnit("deep frame", "frame", 150.0, 2, work_min=5.0),
    YardUnit("packer 10", "packer", 10.0, 40),
    YardUnit("packer 5", "packer", 5.0, 40),
)


def sizes_of(rng):
    shape, other = str(rng.choice(SHAPES)), str(rng.choice(("rectangle", "round")))
    along, across = (float(v) for v in rng.uniform(320, 900, 2))
    if shape == "round":
        across = along
    if shape == "D":
        along = max(along, 0.7 * across)
    frame = float(rng.choice((35.0, 50.0)))
    flange = frame + float(rng.uniform(60, 110))

    def plan(kind, wider, share=1.0):
        a, b = share * (along + 2 * wider), share * (across + 2 * wider)
        return Plan2D(kind, a, b)

    found = {"opening": plan(shape, 0.0), "body": plan(shape, frame), "flange": plan(shape, flange)}
    found["chamber"] = Plan2D("round" if shape == "round" else "rectangle", along + 10.0, across + 10.0)
    if shape == "D":
        found["chamber"] = plan("rectangle", 0.0, 0.6)
    if rng.random() < 0.3:
        found["opening"] = Plan2D("round", min(along, across), min(along, across)) if other == "round" else plan(
            "rectangle", 0.0, 0.65
        )  # fmt: skip
        found["chamber"] = plan("rectangle", 0.0, 0.6)
    if rng.random() < 0.3:
        wide = float(np.hypot(along, across)) + 2 * flange
        found["flange"] = Plan2D("round", wide, wide) if other == "round" else plan("rectangle", flange)
    return found


def road_of(rng):
    slope_x, slope_y = rng.normal(0.0, 0.01, 2)
    crown, at, twist = rng.choice((0.0, 0.0, 0.008)), rng.uniform(-100, 100), rng.choice((0.0, 0.0, 1.5e-5))
    return lambda x, y: slope_x * x + slope_y * y - crown * abs(y - at) + twist * x * y


def readings_of(rng, road, radius, kerb_side, kerb_mm):
    rows, count = [], int(rng.integers(10, 17))
    for i in range(count):
        angle = 2 * np.pi * (i + rng.uniform(-0.2, 0.2)) / count
        x, y = radius * np.cos(angle), radius * np.sin(angle)
        if kerb_side == "left":
            y = min(y, kerb_mm - 20.0)
        if kerb_side == "right":
            y = max(y, 20.0 - kerb_mm)
        rows.append(Reading("X1", f"R{i}", x, y, "level", road(x, y) + rng.normal(0.0, 2.0), "road", "", i + 2))
    return tuple(rows)


def soundings_of(rng, reach):
    found = []
    for i, angle in enumerate(np.arange(0.0, 360.0, 30.0)):
        way = np.array((np.cos(np.radians(angle)), np.sin(np.radians(angle))))
        for j, out in enumerate((40.0, 120.0, 220.0)):
            x, y = way * (reach + out)
            said = "hollow" if out < rng.uniform(0, 260) else "sound"
            found.append(Sounding("X1", f"S{i}{j}", "tap", float(x), float(y), said, row=2 + len(found)))
    return tuple(found)


def top_of(rng, cover, road):
    if rng.random() < 0.5:
        return None
    rough = rng.choice((0.0, 3.0))
    wide = (cover.chamber.along_mm + cover.wall_mm) / 2, (cover.chamber.across_mm + cover.wall_mm) / 2
    points = []
    for angle in np.radians(np.arange(0.0, 360.0, 36.0) + cover.turn_deg):
        local = angle - np.radians(cover.turn_deg)
        if cover.chamber.shape == "round":
            x, y = wide[0] * np.cos(local), wide[0] * np.sin(local)
        else:
            share = max(abs(np.cos(local)) / wide[0], abs(np.sin(local)) / wide[1])
            x, y = np.cos(local) / share, np.sin(local) / share
        turn = np.radians(cover.turn_deg)
        px, py = x * np.cos(turn) - y * np.sin(turn), x * np.sin(turn) + y * np.cos(turn)
        points.append((px, py, road(0, 0) - cover.chamber_depth_mm + 0.003 * px + rng.normal(0.0, 1.0) * rough))
    return MeasuredTop(tuple(points), "ganger", "2027-03-11T23:10+00:00", "e1")


def any_case(seed):
    rng = np.random.default_rng(seed)
    changes = sizes_of(rng)
    half = max(changes["flange"].along_mm, changes["flange"].across_mm) / 2
    turn = float(rng.choice((0.0, 0.0, 9.0, -30.0, 45.0, 90.0)))
    kerb_side = str(rng.choice(("none", "none", "left", "right")))
    kerb_mm = None if kerb_side == "none" else half + float(rng.uniform(5, 250))
    if turn not in (0.0, 90.0) and kerb_mm is not None:
        kerb_mm += 0.45 * half
    changes |= {
        "turn_deg": turn, "kerb_side": kerb_side, "kerb_mm": kerb_mm,
        "kind": str(rng.choice(("cover", "gully", "box"))),
        "chamber_depth_mm": 100.0 + float(rng.uniform(15, 55)), "wall_mm": float(rng.choice((150.0, 215.0, 300.0))),
        "sound_margin_mm": float(rng.choice((0.0, 90.0, 150.0))),
        "bound_depth_mm": float(rng.choice((0.0, 60.0, 180.0))),
        "cut_shape": str(rng.choice(("square", "square", "square", "round"))),
        "corner_rule": str(rng.choice(("run on", "core", "stop short"))),
        "cut_turn": str(rng.choice(("frame", "traffic"))),
        "place": str(rng.choice(("carriageway", "kerbside", "footway"))),
        "method": str(rng.choice(("five-layer", "two-material"))),
        "parts_count": int(rng.choice((1, 1, 2, 3))) if changes["body"].shape == "rectangle" else 1,
    }  # fmt: skip
    cover, road = replace(PLAIN_COVER, **changes), road_of(rng)
    if rng.random() < 0.4:
        changes["x_m"], changes["y_m"], changes["bearing_deg"] = 0.0, 0.0, 90.0
    made = case(
        readings=readings_of(rng, road, 1.45 * half, kerb_side, kerb_mm),
        measured=top_of(rng, cover, road),
        blade_mm=float(rng.choice((300.0, 450.0))),
        **changes,
    )
    obstacles = tuple(
        Obstacle("X1", f"post {i}", float(r * np.cos(a)), float(r * np.sin(a)), 100.0, 80.0, 20.0, 30.0, i + 2)
        for i, (r, a) in enumerate(zip(half + rng.uniform(200, 500, 2), rng.uniform(0, 2 * np.pi, 2), strict=True))
    )
    made = replace(
        made,
        obstacles=obstacles[: int(rng.choice((0, 0, 1, 2)))],
        soundings=soundings_of(rng, half) if rng.random() < 0.4 else (),
        units=YARD if rng.random() < 0.5 else (),
    )
    return with_neighbour(made, rng, half)


def with_neighbour(made, rng, half):
    this = placed_of(made, lifted=True)
    if this is None:
        return made
    angle, far = rng.uniform(0, 2 * np.pi), 2 * half + rng.uniform(50, 500)
    other = replace(
        made.cover, cover="X2", x_m=far * np.cos(angle) / 1000, y_m=far * np.sin(angle) / 1000,
        bearing_deg=float(rng.uniform(60, 120)), kerb_side="none", kerb_mm=None, sound_margin_mm=90.0,
    )  # fmt: skip
    there = placed_of(
        replace(made, cover=other, obstacles=(), soundings=(), measured=None), lifted=bool(rng.random() < 0.7)
    )
    placed = {"X1": this, "X2": there}
    return replace(made, neighbours=neighbours_within(made.cover, placed, 300.0))


def cut_faults(made, ground):
    """What the second look finds at the cut."""
    question_keep = tuple(k.ring for n in made.neighbours for k in n.keep_off if k.what != KERB)
    standing = tuple(n.flange for n in made.neighbours if not n.cut)
    from truebed.plan.cutting import obstacles_of

    around = Surroundings(
        flange=ground.outlines.flange,
        least_width_mm=fill_width(made)[0],
        kerb_side=made.cover.kerb_side,
        kerb_mm=made.cover.kerb_mm,
        keep_off=tuple(k.ring for k in obstacles_of(made)) + question_keep + standing,
        frames=tuple(n.flange for n in made.neighbours if n.cut),
    )
    return faults_of_cut(ground.cut, around)


def hole_l(ground, step_mm=4.0):
    """What the layers must add up to, by counting little squares: the hole below road and rim less the frame's iron.

    Only for roads and chamber tops that are planes where they are asked for.
    """
    from shapely import contains_xy

    o = ground.outlines
    cut, body, flange, wall = (Polygon(r) for r in (o.cut, o.body, o.flange, o.wall))
    chamber = Polygon(o.chamber)
    hollow = unary_union([Polygon(o.opening), chamber])
    min_x, min_y, max_x, max_y = cut.bounds
    nx, ny = round((max_x - min_x) / step_mm), round((max_y - min_y) / step_mm)
    dx, dy = (max_x - min_x) / nx, (max_y - min_y) / ny
    x, y = np.meshgrid(min_x + dx * (np.arange(nx) + 0.5), min_y + dy * (np.arange(ny) + 0.5))
    x, y = x.ravel(), y.ravel()
    levels = ground.levels

    def at(plane):
        return plane.level_mm + plane.slope_x_ratio * x + plane.slope_y_ratio * y

    s = levels.road_surface
    road = at(levels.road) if s is None else np.array([s.at(px, py) for px, py in zip(x, y, strict=True)])
    in_cut, in_body, in_flange = (contains_xy(p, x, y) for p in (cut, body, flange))
    on_wall, in_hollow, in_chamber = (contains_xy(p, x, y) for p in (wall, hollow, chamber))
    bottom = np.where(on_wall, at(levels.chamber_top), at(levels.floor))
    rim = at(levels.rim)
    under = rim - levels.frame_depth_mm
    height = np.zeros_like(x)
    trench = in_cut & ~in_flange & ~in_chamber
    height[trench] = (road - bottom)[trench]
    foot = in_flange & ~in_hollow
    height[foot] += (under - bottom)[foot]  # the iron of the flange stands on this
    over_foot = in_flange & ~in_body
    height[over_foot] += (road - under - levels.flange_thick_mm)[over_foot]
    return float(height.sum() * dx * dy / 1e6)


def any_row(seed):
    """A works with two or three random covers in a row, near enough that cuts may join; some must not be dug."""
    rng = np.random.default_rng(seed)
    works, covers, readings, obstacles, condition, at_mm = demo_works(), [], [], [], [], 0.0
    for k in range(int(rng.integers(2, 4))):
        made, name = any_case(int(rng.integers(0, 10**6))), f"Y{k}"
        half = max(made.cover.flange.along_mm, made.cover.flange.across_mm) / 2
        at_mm += half
        covers.append(
            replace(
                made.cover, cover=name, street=works.closures[0].streets[0], x_m=at_mm / 1000,
                y_m=float(rng.uniform(-0.2, 0.2)), bearing_deg=float(90 + rng.choice((0, 0, 0, 10, 180))),
                kerb_side="none", kerb_mm=None, cut_shape="square", sound_margin_mm=90.0,
            )
        )  # fmt: skip
        at_mm += half + rng.uniform(100, 400)
        readings += [replace(r, cover=name) for r in made.readings]
        obstacles += [replace(o, cover=name) for o in made.obstacles] if rng.random() < 0.3 else []
        condition += [replace(full_sheet(**LOW_LID), cover=name)] if rng.random() < 0.3 else []
    return replace(
        works, covers=tuple(covers), readings=tuple(readings), obstacles=tuple(obstacles), soundings=(),
        condition=tuple(condition), units=(),
    )  # fmt: skip
