"""The section of a flange on its bed: iron with its upright, mortar, wall and ground; the cut-out open or filled."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.curing.binder import Binder
from truebed.curing.section_2d import Around, Array, Block, SectionTimes, lines, section_times
from truebed.curing.stack import Edge, Layer, Stack

IRON_W_PER_M_K, IRON_KJ_PER_L_K = 50.0, 3.312


@dataclass(frozen=True, slots=True)
class Flange:
    """Sizes and temperatures of the section; `fill` None leaves the cut-out open to the air.

    frame_c     of the iron; None as the road
    over_mm     of the fill above the flange
    deep_mm, wide_mm  of wall and ground below the bed, and of the section
    """

    bed_mm: float
    mix_c: float
    road_c: float
    bed: Binder
    wall_w_per_m_k: float
    wall_kj_per_l_k: float
    fill: Binder | None = None
    width_mm: float = 100.0
    iron_mm: float = 15.0
    upright_mm: float = 85.0
    upright_thick_mm: float = 15.0
    over_mm: float = 60.0
    deep_mm: float = 400.0
    wide_mm: float = 300.0
    frame_c: float | None = None

    @property
    def iron_c(self) -> float:
        """Temperature of the frame when it is set."""
        return self.road_c if self.frame_c is None else self.frame_c


def flange_stack(flange: Flange, around: Around) -> Stack:
    """The stack with edge loss that stands for the section.

    Valid       as edge_loss.columns_of
    Source      house
    Proved by   tests/oracles/test_heat_edge.py
    """
    f = flange
    film = 0.0 if f.fill is not None else around.outer_film_w_per_m2_k
    edge = Edge("flange", f.width_mm, film, around.inner_film_w_per_m2_k, around.inner_c, f.upright_mm,
                f.upright_thick_mm)  # fmt: skip
    layers = (
        Layer("flange", f.iron_mm, IRON_W_PER_M_K, IRON_KJ_PER_L_K, f.iron_c),
        Layer("bed", f.bed_mm, f.bed.conduct_w_per_m_k, f.bed.store_kj_per_l_k, f.mix_c, f.bed),
        Layer("wall", f.deep_mm, f.wall_w_per_m_k, f.wall_kj_per_l_k, f.road_c),
    )
    if f.fill is not None:
        fill = Layer("fill", f.over_mm, f.fill.conduct_w_per_m_k, f.fill.store_kj_per_l_k, f.mix_c, f.fill)
        return Stack((fill, *layers), edge)
    return Stack(layers, edge)


def flange_blocks(flange: Flange) -> tuple[Block, ...]:
    """The section's blocks.

    Valid       over_mm at most upright_mm
    Source      house
    Proved by   tests/curing/test_section_2d.py
    """
    f = flange
    iron_y, bed_y = f.upright_mm, f.upright_mm + f.iron_mm
    wall_y = bed_y + f.bed_mm
    iron = (IRON_W_PER_M_K, IRON_KJ_PER_L_K, f.iron_c)
    bed = (f.bed.conduct_w_per_m_k, f.bed.store_kj_per_l_k, f.mix_c, f.bed)
    wall = (f.wall_w_per_m_k, f.wall_kj_per_l_k, f.road_c)
    blocks = (
        Block("upright", 0.0, 0.0, f.upright_thick_mm, iron_y, *iron),
        Block("flange", 0.0, iron_y, f.width_mm, bed_y, *iron),
        Block("bed", 0.0, bed_y, f.width_mm, wall_y, *bed),
        Block("wall", 0.0, wall_y, f.wide_mm, wall_y + f.deep_mm, *wall),
    )
    if f.fill is None:
        return blocks
    fill = (f.fill.conduct_w_per_m_k, f.fill.store_kj_per_l_k, f.mix_c, f.fill)
    fill_y = iron_y - f.over_mm
    over = Block("fill", f.upright_thick_mm, fill_y, f.width_mm, iron_y, *fill)
    return (*blocks, over, Block("fill beside", f.width_mm, fill_y, f.wide_mm, wall_y, *fill))


def flange_lines(flange: Flange, first_mm: float) -> tuple[Array, Array]:
    """Grid lines of the section; halving `first_mm` halves every cell near enough.

    Valid       first_mm above 0
    Source      house
    Proved by   tests/curing/test_section_2d.py
    """
    f = flange
    growth_ratio = 1.5 ** (first_mm / 2.0)
    wall_y = f.upright_mm + f.iron_mm + f.bed_mm
    across = [0.0, f.upright_thick_mm, f.width_mm, f.wide_mm]
    down = [0.0, f.upright_mm, f.upright_mm + f.iron_mm, wall_y, wall_y + f.deep_mm]
    if f.fill is not None:
        down.insert(1, f.upright_mm - f.over_mm)
    return (
        lines(across, (0.0, f.width_mm), first_mm, growth_ratio),
        lines(down, (f.upright_mm, wall_y), first_mm, growth_ratio),
    )


def flange_times(flange: Flange, around: Around, age_min: float, *, first_mm: float) -> SectionTimes:
    """Times of the bed in the section at one fineness.

    Valid       as section_2d.section_times; extrapolate over finenesses for the limit
    Source      as section_2d.section_times
    Proved by   tests/curing/test_section_2d.py
    """
    return section_times(flange_blocks(flange), around, "bed", age_min, *flange_lines(flange, first_mm))
