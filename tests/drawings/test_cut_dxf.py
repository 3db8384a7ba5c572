"""The DXF reads back: units, layers, sizes, dimensions; and has the same bytes each time."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import ezdxf
import pytest

from papers.sample_plan import designs
from truebed.drawings.cut_dxf import LAYERS, cut_dxf, plain

K11, K12, K13 = designs()


def read(data: bytes) -> ezdxf.document.Drawing:
    """The drawing read anew."""
    return ezdxf.read(io.StringIO(data.decode("utf-8")))


@pytest.mark.parametrize(("design", "turn_deg"), [(K11, 0.0), (K12, 15.0), (K13, 0.0)], ids=["K11", "K12", "K13"])
def test_the_cut_s_dimensions_are_the_cut_s_size(design, turn_deg) -> None:  # type: ignore[no-untyped-def]
    doc = read(cut_dxf(design))
    found = [d for d in doc.modelspace().query("DIMENSION") if d.dxf.text == "cut <>"]
    assert [d.get_measurement() for d in found] == pytest.approx([design.cut.along_mm, design.cut.across_mm])
    assert [d.dxf.angle for d in found] == pytest.approx([turn_deg, turn_deg + 90])
    assert all(d.dxf.geometry in doc.blocks for d in found)  # rendered: each has its block


def test_units_layers_rings_and_audit() -> None:
    doc = read(cut_dxf(K12))
    assert doc.dxfversion == "AC1024"
    assert doc.header["$INSUNITS"] == 4
    assert set(LAYERS) <= {layer.dxf.name for layer in doc.layers}
    (ring,) = doc.modelspace().query('LWPOLYLINE[layer=="CUT"]')
    assert [tuple(p[:2]) for p in ring.get_points()] == [pytest.approx(p) for p in K12.outlines.cut]
    assert ring.closed
    assert not doc.audit().errors


def test_levels_to_set_stand_in_the_drawing() -> None:
    said = [t.dxf.text for t in read(cut_dxf(K11)).modelspace().query("TEXT")]
    assert "+9" in said
    assert any("950 x 950 mm" in text for text in said)


def test_twice_gives_the_same_bytes_and_the_library_s_option_is_put_back() -> None:
    before = ezdxf.options.write_fixed_meta_data_for_testing
    assert cut_dxf(K11) == cut_dxf(K11)
    assert ezdxf.options.write_fixed_meta_data_for_testing == before


def test_words_that_dxf_reads_as_commands_are_made_plain() -> None:
    assert plain("K1%%d\n^M") == "K1% %d M"


@pytest.mark.parametrize("seed", ["1", "2", "3", "4"])
def test_the_bytes_do_not_hang_on_the_order_of_sets(seed: str) -> None:
    code = (
        "import sys; from papers.sample_plan import sample_closure; from truebed.drawings.cut_dxf import cut_dxf; "
        "sys.stdout.buffer.write(cut_dxf(sample_closure().designed[0]))"
    )
    environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(Path(__file__).parents[1])}
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, env=environment, check=True)
    assert ran.stdout == cut_dxf(K11)
