"""Puts this folder on the path, so that a test may borrow another room's samples: `from given.base_folder import`."""
