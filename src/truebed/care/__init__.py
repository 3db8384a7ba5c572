"""People kept safe: cautions and exposure."""
