"""What was done: events and the append-only journal."""
