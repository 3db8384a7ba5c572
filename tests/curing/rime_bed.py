"""The demo's winter mortar, tested down to 0 degC, as `two_clocks` asks for it."""

from pathlib import Path

from truebed.curing.calibrate import fit_sheet
from truebed.curing.defaults import curing_defaults
from truebed.curing.layer_night import LayerNight
from truebed.curing.surfaces import weather_data
from truebed.curing.time_line import fit_times
from truebed.curing.two_clocks import Asked
from truebed.sheets.load import load_sheets

FOLDER = Path(__file__).parents[2] / "src" / "truebed" / "demo" / "folder" / "sheets"
NIGHT = LayerNight(30.0, 2.0, 0.0, 12.0, 20.0, 15.0, None, 3.0, 0.0)


def asked(key="rime-bed", **more):
    file = FOLDER / f"{key}.toml"
    sheets, faults = load_sheets({f"sheets/{file.name}": file.read_bytes()})
    assert faults == ()
    sheet, defaults = sheets[key], curing_defaults()
    life = fit_times(sheet.life, sheet.kind, "working life", sheet.limits, defaults)
    return Asked(fit_sheet(sheet, defaults), life, sheet.limits, weather_data(), **more)
