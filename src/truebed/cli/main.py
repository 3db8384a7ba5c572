"""`truebed`: the commands. Exit codes: docs/commands.md."""

from __future__ import annotations

import sys

import click

from truebed import __version__
from truebed.cli.check import check
from truebed.cli.cure import cure
from truebed.cli.demo import demo
from truebed.cli.diagnose import diagnose
from truebed.cli.explain import explain
from truebed.cli.now import now
from truebed.cli.plan import plan
from truebed.cli.record import record
from truebed.cli.replan import replan
from truebed.cli.sheet import sheet
from truebed.cli.sweep import sweep
from truebed.cli.voice import EXIT_FAULTS, EXIT_REFUSED, say_faults
from truebed.errors import FaultsError, TruebedError

EPILOG = """\b
First steps
  truebed demo --out DEMO       the main job on an invented town; look at DEMO/plan
  truebed check WORKS           every fault of your works folder, with file, row, column and mend
  truebed diagnose WORKS        which repair each cover needs, before anybody digs
  truebed plan WORKS --out OUT  designs, programme, site pack, load list, calendar, drawings
  truebed sweep WORKS --out F.csv   the ground of very many covers, a row a cover
  truebed sheet check FILE      one data sheet: faults, fitted strength curve, what it cannot tell
  truebed cure SHEET.toml --thick 30 --base 2 --air 0 --mix 12 --iron 15   when one layer is ready
  truebed now WORKS COVER       during the night: strength believed and minutes left, from the probe readings
  truebed explain C01.bed.least --plan OUT   why a figure is what it is

\b
Exit codes
  0  done
  2  faults in what was given, or a command line that cannot be read
  3  refused: results in the way, nothing to explain, nothing recorded
"""


@click.group(epilog=EPILOG, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="truebed")
def app() -> None:
    """From a survey folder to what the night needs.

    Truebed takes a works folder (covers, readings, closures, people, tools, weather, data sheets, methods) and gives a
    design for every cover, kits to load, a timed programme that ends before the closure does, and a site pack to print.

    Truebed advises; a competent person decides.
    """


for command in (demo, check, diagnose, plan, sweep, explain, record, now, replan, sheet, cure):
    app.add_command(command)


def main() -> None:
    """Run the command line; every refusal is a sentence and an exit code, never a traceback."""
    try:
        app(standalone_mode=False)
    except FaultsError as wrong:
        say_faults(wrong)
        sys.exit(EXIT_FAULTS)
    except TruebedError as refused:
        click.secho(str(refused), err=True, fg="red")
        sys.exit(EXIT_REFUSED)
    except click.ClickException as usage:
        usage.show()
        sys.exit(EXIT_FAULTS)
    except click.Abort:
        click.echo("stopped", err=True)
        sys.exit(130)
    except OSError as world:
        click.secho(f"{world.strerror or world}: {world.filename or ''}", err=True, fg="red")
        sys.exit(EXIT_REFUSED)


if __name__ == "__main__":
    main()
