"""One file per thing a supervisor does: load, pure core, save."""
