"""The commands; thin over actions."""
