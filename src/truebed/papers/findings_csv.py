"""All findings as one table that any spreadsheet opens, and that cannot run anything there."""

from __future__ import annotations

import csv
import io

from truebed.papers.belonging import closures_of, cover_of
from truebed.plan.result import Plan

HEAD = ("closure", "cover", "code", "severity", "subject", "what", "value", "unit", "limit", "source", "mend")
_RISKY = ("=", "+", "-", "@", "\t", "\r", "\n")


def findings_csv(plan: Plan) -> bytes:
    """The findings as CSV (UTF-8 with mark, comma, CRLF); words that would read as a formula get an apostrophe.

    Valid       any plan
    Source      house (file format)
    Proved by   tests/papers/test_findings_csv.py
    """
    stream = io.StringIO()
    table = csv.writer(stream, lineterminator="\r\n")
    table.writerow(HEAD)
    for f in plan.findings:
        closures, cover = " ".join(closures_of(f, plan)), cover_of(f, plan)
        value = "" if f.value is None else f"{f.value:.6g}"
        before = (safe(word) for word in (closures, cover, f.code, f.severity.value, f.subject, f.what))
        after = (safe(word) for word in (f.unit, f.limit, f.source, f.mend))
        table.writerow([*before, value, *after])
    return b"\xef\xbb\xbf" + stream.getvalue().encode()


def safe(words: str) -> str:
    """Words that no spreadsheet takes for a formula: an apostrophe before a first character that could start one.

    Valid       any text
    Source      common practice, no source
    Proved by   tests/papers/test_findings_csv.py
    """
    return f"'{words}" if words.lstrip(" ").startswith(_RISKY) else words
