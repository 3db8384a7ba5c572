"""Pictures of what was drawn, by Debian's chromium and poppler; absent tools skip here and fail on CI."""

from __future__ import annotations

import os
import shutil
import struct
import subprocess
import zlib
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

Pixels = NDArray[np.uint8]


def tool(name: str) -> str:
    """The tool's path, or a skip with one line; a failure where CI is set."""
    found = shutil.which(name)
    if found is None:
        if os.environ.get("CI"):
            pytest.fail(f"{name} is absent on CI")
        pytest.skip(f"{name} is absent")
    return found


def pages(pdf: bytes, folder: Path, dots_per_inch: int = 60) -> list[Path]:
    """Every page as a PPM, in order."""
    poppler = tool("pdftoppm")
    source = folder / "paper.pdf"
    source.write_bytes(pdf)
    subprocess.run([poppler, "-r", str(dots_per_inch), str(source), str(folder / "page")], check=True, timeout=120)
    return sorted(folder.glob("page*.ppm"))


def page_pixels(ppm: Path) -> Pixels:
    """Rows of RGB values of a raw PPM."""
    kind, size, most, body = ppm.read_bytes().split(b"\n", 3)
    assert (kind, most) == (b"P6", b"255")
    width, height = (int(part) for part in size.split())
    return np.frombuffer(body, np.uint8).reshape(height, width, 3)


def picture(svg: str, folder: Path, *, dark: bool = False) -> Path:
    """An SVG as chromium paints it, on a light or a dark screen."""
    chromium = tool("chromium")
    source, target = folder / "drawing.svg", folder / "drawing.png"
    source.write_text(svg, encoding="utf-8")
    flags = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--hide-scrollbars"]
    profile = f"--user-data-dir={folder / 'profile'}"
    scheme = f"--blink-settings=preferredColorScheme={0 if dark else 1}"
    shot = [chromium, *flags, scheme, profile, "--window-size=900,900", f"--screenshot={target}", source.as_uri()]
    subprocess.run(shot, check=True, timeout=120, capture_output=True)
    return target


def pixels(png: Path) -> Pixels:
    """Rows of RGB values of an 8-bit PNG without interlace."""
    data = png.read_bytes()
    width, height, depth, colour, _, _, interlace = struct.unpack(">IIBBBBB", data[16:29])
    assert depth == 8
    assert interlace == 0
    channels = {0: 1, 2: 3, 4: 2, 6: 4}[colour]
    body, at = b"", 8
    while at < len(data):
        (length,) = struct.unpack(">I", data[at : at + 4])
        if data[at + 4 : at + 8] == b"IDAT":
            body += data[at + 8 : at + 8 + length]
        at += 12 + length
    rows = _unfilter(zlib.decompress(body), width * channels, height, channels)
    grid = np.frombuffer(b"".join(rows), np.uint8).reshape(height, width, channels)
    return grid[:, :, :3] if channels >= 3 else np.repeat(grid[:, :, :1], 3, axis=2)


def _unfilter(raw: bytes, stride: int, height: int, step: int) -> list[bytes]:
    """PNG's five filters undone."""
    rows: list[bytes] = []
    before = bytes(stride)
    for y in range(height):
        kind, row = raw[y * (stride + 1)], bytearray(raw[y * (stride + 1) + 1 : (y + 1) * (stride + 1)])
        for x in range(stride):
            left, corner = (row[x - step], before[x - step]) if x >= step else (0, 0)
            row[x] = (row[x] + _guess(kind, left, before[x], corner)) & 255
        before = bytes(row)
        rows.append(before)
    return rows


def _guess(kind: int, left: int, above: int, corner: int) -> int:
    return (0, left, above, (left + above) // 2, _paeth(left, above, corner))[kind]


def _paeth(a: int, b: int, c: int) -> int:
    p = a + b - c
    return min((a, b, c), key=lambda v: (abs(p - v), (a, b, c).index(v)))


def dark_share(image: Pixels) -> float:
    """Share of pixels darker than mid grey."""
    return float((image.mean(axis=2) < 128).mean())


def greatest_tint(image: Pixels) -> int:
    """The greatest difference between a pixel's channels: 0 where all is grey."""
    return int((image.max(axis=2).astype(int) - image.min(axis=2)).max())
