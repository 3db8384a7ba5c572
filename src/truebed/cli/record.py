"""`truebed record`."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

WORKS = click.argument("works", type=click.Path(path_type=Path))
AUTHOR = click.option("--by", "author", required=True, help="Role or initials of who saw it.")
DRY = click.option("--dry-run", is_flag=True, help="Say what would be recorded; record nothing.")


@click.group()
def record() -> None:
    """Record what was done, in WORKS/journal.jsonl: only ever added to, each line chained to the one before.

    What was recorded wrongly is withdrawn, never edited.
    """


@record.command("chamber-top")
@WORKS
@click.argument("cover")
@click.option("--points", "file", type=click.Path(path_type=Path), help="CSV with the header x_mm,y_mm,level_mm.")
@click.option(
    "--point", "words", multiple=True, metavar="X,Y,LEVEL", help="One point in mm; give it eight times or more."
)
@AUTHOR
@DRY
def chamber_top(works: Path, cover: str, file: Path | None, words: tuple[str, ...], author: str, dry_run: bool) -> None:
    """The hold point 'measure the chamber top': eight points or more, in the cover's own axes and datum.

    Run `truebed plan` again afterwards: it takes these points in place of the estimate and says what changed.
    """
    from truebed.actions import record as action

    if (file is None) == (not words):
        raise click.UsageError("Give the points either as a file (--points) or as words (--point), one of the two.")
    points = action.points_from_file(file) if file is not None else action.points_from_words(words)
    click.echo(action.record_chamber_top(works, cover, points, author, dry_run=dry_run).sentence)
    if not dry_run:
        click.echo("now run `truebed plan` again: go, mend first, or put the old frame back")


@record.command("step")
@WORKS
@click.argument("cover")
@click.argument("step")
@click.argument("state", type=click.Choice(["started", "done"]))
@AUTHOR
@DRY
def step(works: Path, cover: str, step: str, state: str, author: str, dry_run: bool) -> None:
    """A step of the cover's method was started or done."""
    from truebed.actions import record as action

    click.echo(action.record_step(works, cover, step, done=state == "done", author=author, dry_run=dry_run).sentence)


@record.command("hold")
@WORKS
@click.argument("cover")
@click.argument("hold")
@AUTHOR
@DRY
def hold(works: Path, cover: str, hold: str, author: str, dry_run: bool) -> None:
    """Somebody named has looked at a hold point."""
    from truebed.actions import record as action

    click.echo(action.record_hold(works, cover, hold, author, dry_run=dry_run).sentence)


@record.command("probe")
@WORKS
@click.argument("cover")
@click.argument("pour")
@click.option("--temp", "temp_c", type=float, required=True, help="What the probe reads, °C.")
@click.option("--place", required=True, help="Where it sits: slowest face, middle, other face.")
@click.option("--at", default=None, help="When it was read, if not now: 2027-01-12T23:40.")
@click.option("--celsius", is_flag=True, help="It is in °C although it looks like Fahrenheit.")
@AUTHOR
@DRY
def probe(
    works: Path, cover: str, pour: str, temp_c: float, place: str, at: str | None, celsius: bool, author: str,
    dry_run: bool,
) -> None:  # fmt: skip
    """A probe's temperature in a pour, such as the bed; `truebed now` reads them."""
    from truebed.actions import record_strength as action

    done = action.record_probe(works, cover, pour, temp_c, place, at, author, celsius=celsius, dry_run=dry_run)
    click.echo(done.sentence)


@record.command("strength-test")
@WORKS
@click.argument("cover")
@click.argument("pour")
@click.option("--kind", type=click.Choice(["cube", "rebound", "penetration"]), required=True, help="What was done.")
@click.option("--strength", "strength_n_per_mm2", type=float, required=True, help="Mean of the readings, N/mm².")
@click.option("--readings", type=int, required=True, help="How many readings the mean is of.")
@click.option("--age-min", type=float, default=None, help="The tested thing's own equivalent age, minutes at 20 °C.")
@click.option("--at", default=None, help="When the layer itself was tested; its age then comes from the probe.")
@AUTHOR
@DRY
def strength_test(
    works: Path, cover: str, pour: str, kind: Literal["cube", "rebound", "penetration"], strength_n_per_mm2: float,
    readings: int, age_min: float | None, at: str | None, author: str, dry_run: bool,
) -> None:  # fmt: skip
    """A strength test of a pour: it moves the strength curve that `truebed now` goes by.

    Give --age-min, or for a test of the layer itself --at. A cube is as old as its own warmth made it.
    """
    from truebed.actions import record_strength as action

    done = action.record_strength_test(
        works, cover, pour, kind, strength_n_per_mm2, readings, age_min, at, author, dry_run=dry_run
    )
    click.echo(done.sentence)


@record.command("site-test")
@WORKS
@click.argument("cover")
@click.argument("decision", type=click.Choice(["required", "waived"]))
@click.option("--why", required=True, help="The reason.")
@AUTHOR
@DRY
def site_test(
    works: Path, cover: str, decision: Literal["required", "waived"], why: str, author: str, dry_run: bool
) -> None:
    """Whether a strength test is asked for before this cover's opening is judged, or waived: by name, with a reason."""
    from truebed.actions import record_strength as action

    click.echo(action.record_site_test(works, cover, decision, why, author, dry_run=dry_run).sentence)


@record.command("withdraw")
@WORKS
@click.argument("event")
@click.option("--why", required=True, help="Why it does not count.")
@AUTHOR
@DRY
def withdraw(works: Path, event: str, why: str, author: str, dry_run: bool) -> None:
    """Take back an earlier record: it stays in the journal and no longer counts."""
    from truebed.actions import record as action

    click.echo(action.record_withdrawal(works, event, why, author, dry_run=dry_run).sentence)


@record.command("list")
@WORKS
def list_events(works: Path) -> None:
    """Every event of the journal, oldest first."""
    from truebed.actions import record as action

    for line in action.journal_lines(works):
        click.echo(line)


@record.command("mend")
@WORKS
def mend(works: Path) -> None:
    """After a power cut: set an unfinished last line aside (journal.torn) so that recording can go on.

    Nothing whole is touched; a journal that is broken in another way is refused.
    """
    from truebed.actions import record as action

    click.echo(action.mend_torn(works))
