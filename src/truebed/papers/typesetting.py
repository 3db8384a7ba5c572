"""Typst at work: a template and its data to PDF bytes that do not change with the machine or the hour."""

from __future__ import annotations

import shutil
import tempfile
from datetime import datetime
from pathlib import Path

#: One file a weight: the font package's folder holds each twice, and which is found first would depend on the disk.
_FONTS = ("SourceSansPro-Regular.otf", "SourceSansPro-Bold.otf")


def typeset(template: str, inputs: dict[str, str], at: datetime) -> bytes:
    """A template set with its inputs (never pasted into the markup) as PDF with the given date.

    Valid       a template that needs no file but its inputs
    Source      house (paper)
    Raises      ValueError with the typesetter's own words where the template does not compile
    Proved by   tests/papers/test_site_pack.py
    """
    import font_source_sans_pro
    import typst

    with tempfile.TemporaryDirectory() as folder:
        for name in _FONTS:
            shutil.copy(Path(font_source_sans_pro.font_directory) / name, folder)
        try:
            pdf = typst.compile(
                template.encode(),
                font_paths=typst.Fonts(include_system_fonts=False, font_paths=[folder]),
                ignore_system_fonts=True,
                sys_inputs=inputs,
                format="pdf",
                timestamp=at,
            )
        except typst.TypstError as broken:
            raise ValueError(f"the paper could not be set: {broken.message}") from broken
    return pdf
