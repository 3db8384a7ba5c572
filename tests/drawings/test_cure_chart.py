"""Chart of one layer's cure: what stands on it, that it fits its sheet, and that it is seen on light and dark."""

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from curing.rime_bed import NIGHT, asked
from drawings.on_sheet import off_the_sheet
from drawings.tools import dark_share, greatest_tint, picture, pixels
from truebed.curing.strength_band import layer_course
from truebed.curing.two_clocks import two_clocks
from truebed.drawings.cure_chart import cure_chart_svg

RIME = asked()
FROST = replace(NIGHT, thick_mm=20.0, base_c=0.0, mix_c=5.0)
SCARCE = replace(NIGHT, iron_mm=None, base_c=20.0, air_c=5.0, mix_c=20.0, target_n_per_mm2=34.0)


def chart(night=NIGHT, wide_mm=180.0):
    clocks = two_clocks(night, RIME)
    return clocks, cure_chart_svg(
        "Cure of one layer: Rime winter bedding mortar", clocks, layer_course(night, RIME), wide_mm
    )


def texts(svg):
    root = ElementTree.fromstring(svg)  # noqa: S314 - our own text
    return [node.text for node in root.iter() if node.tag.endswith("}text")]


def test_target_times_and_the_two_figures_to_work_by_stand_on_it():
    clocks, svg = chart()
    said = texts(svg)
    assert "target 20 N/mm²" in said
    for minutes in (clocks.ready.early_min, clocks.ready.central_min, clocks.ready.late_min, clocks.life.early_min):
        assert f"{minutes:.0f}" in said
    legend = " ".join(said)
    assert f"Do not open before {clocks.ready.late_min:.0f} min." in legend
    assert "a competent person decides" in legend


def test_the_curve_meets_the_target_at_the_most_probable_time():
    svg = chart()[1]
    (curve,) = re.findall(r'<polyline points="([^"]+)" fill="none" stroke="#000000" stroke-width="0.7"/>', svg)[:1]
    marks = re.findall(
        r'<line x1="([\d.]+)" y1="([\d.]+)" x2="\1" y2="([\d.]+)" stroke="#000000" stroke-width="0.35"/>', svg
    )
    ((x, _, y),) = marks
    assert f"{x},{y}" in curve.split(" ")


def test_frost_and_a_time_that_is_not_determined_are_said():
    said = " ".join(texts(chart(FROST)[1]))
    assert "FROST in 100%" in said
    assert "ready: not determined" in said
    assert "Do not open on any of these times." in said
    assert "no time is believable" in " ".join(texts(chart(SCARCE)[1]))


@pytest.mark.parametrize(
    "night", [NIGHT, FROST, SCARCE, replace(NIGHT, strip_mm=100.0)], ids=["frosty", "frost", "scarce", "strip"]
)
@pytest.mark.parametrize("wide_mm", [95.0, 180.0])
def test_nothing_is_drawn_off_the_sheet(night, wide_mm):
    svg = chart(night, wide_mm)[1]
    assert off_the_sheet(svg) == []
    high_mm = float(re.search(r'viewBox="0 0 [\d.]+ ([\d.]+)"', svg).group(1))
    chains = re.findall(r'points="([^"]+)"', svg)
    assert len(chains) >= 2
    for x, y in (map(float, pair.split(",")) for chain in chains for pair in chain.split()):
        assert 0.0 <= x <= wide_mm
        assert 0.0 <= y <= high_mm


@pytest.mark.tools
def test_it_is_seen_in_grey_alone_on_light_and_on_dark(tmp_path):
    _, svg = chart()
    light, dark = (pixels(picture(svg, tmp_path, dark=is_dark)) for is_dark in (False, True))
    sheet = (slice(0, 500), slice(0, 600))
    assert 0.01 < dark_share(light[sheet]) < 0.3
    assert dark_share(dark[sheet]) > 0.7
    assert greatest_tint(light) == 0
