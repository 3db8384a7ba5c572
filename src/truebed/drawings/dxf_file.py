"""A DXF file of layers and what is drawn on them: checked by its own audit, the same bytes each time."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ezdxf.layouts.layout import Modelspace

#: name -> (line weight in hundredths of a millimetre, line type); all in colour 7: black or white by ground
Layers = Mapping[str, tuple[int, str]]


def dxf_bytes(layers: Layers, fill: Callable[[Modelspace], None], what: str) -> bytes:
    """A drawing (R2010, millimetres) as `fill` draws it; no clock and no random ids in the file.

    Valid       entities on the named layers
    Source      house (drawing)
    Raises      ValueError where the written drawing does not pass its own audit
    Proved by   tests/drawings/test_level_dxf.py
    """
    from ezdxf._options import options
    from ezdxf.filemanagement import new
    from ezdxf.units import MM

    kept = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        doc = new("R2010", setup=True, units=MM)
        doc.header["$MEASUREMENT"] = 1
        for name, (weight, line_type) in layers.items():
            doc.layers.add(name, color=7, lineweight=weight, linetype=line_type)
        fill(doc.modelspace())
        faults = doc.audit().errors
        if faults:
            raise ValueError(f"the drawing of {what} is not sound: {faults[0].message}")
        # the library gathers required classes in a set: put in order before writing, for the same bytes each time
        doc.classes.add_required_classes(doc.dxfversion)
        doc.classes.classes = dict(sorted(doc.classes.classes.items()))
        stream = io.StringIO()
        doc.write(stream)
    finally:
        options.write_fixed_meta_data_for_testing = kept
    return doc.encode(stream.getvalue())
