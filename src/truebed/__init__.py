"""Truebed: from a survey folder to a timed, checked site pack for reinstating road ironwork."""

__version__ = "0.1.0"
