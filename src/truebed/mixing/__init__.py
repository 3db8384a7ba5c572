"""Take-off by role, whole kits, batches in mixing order."""
