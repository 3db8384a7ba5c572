"""Numbers as the crew reads them: a true minus, an explicit plus, tenths of a millimetre."""

from __future__ import annotations

MINUS = "\u2212"


def signed_mm(value_mm: float) -> str:
    """A level or departure with its sign: '+3.2', '−1.0', '0.0'.

    Valid       any finite value
    Source      house (writing)
    Proved by   tests/drawings/test_svg.py
    """
    text = f"{value_mm:+.1f}"
    return "0.0" if text in ("+0.0", "-0.0") else text.replace("-", MINUS)


def whole_signed_mm(value_mm: float) -> str:
    """A level to set, in the whole millimetres that a staff can be set to: '+156', '\u22123', '0'.

    Valid       any finite value
    Source      house (writing)
    Proved by   tests/drawings/test_svg.py
    """
    text = f"{value_mm:+.0f}"
    return "0" if text in ("+0", "-0") else text.replace("-", MINUS)


def tenth_mm(value_mm: float) -> str:
    """A size or thickness to a tenth: '24.3'.

    Valid       any finite value
    Source      house (writing)
    Proved by   tests/drawings/test_svg.py
    """
    text = f"{value_mm:.1f}"
    return "0.0" if text == "-0.0" else text.replace("-", MINUS)


def whole_or_tenth_mm(value_mm: float) -> str:
    """A size: whole where it is whole to a twentieth of a millimetre, else to a tenth.

    Valid       any finite value
    Source      house (writing)
    Proved by   tests/drawings/test_svg.py
    """
    text = tenth_mm(value_mm)
    return text.removesuffix(".0")
