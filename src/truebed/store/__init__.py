"""The world: files read, files written beside and renamed."""
