"""Rule sets as data: limits, tolerances and classes, each with source, clause, edition and how far it was read."""
