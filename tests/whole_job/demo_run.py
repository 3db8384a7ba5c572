"""The main job on the demo works, run once a session by the command itself and shared by the tests here."""

from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from click.testing import CliRunner

from truebed.cli.main import app
from truebed.papers.plan_json import plan_from_json


@cache
def demo_run():
    place = Path(mkdtemp(prefix="truebed-demo-")) / "demo"
    result = CliRunner().invoke(app, ["demo", "--out", str(place)], catch_exceptions=False)
    return place, result


@cache
def demo_plan():
    place, _ = demo_run()
    return plan_from_json((place / "plan" / "plan.json").read_bytes())


def closure(name):
    return next(c for c in demo_plan().closures if c.closure == name)
