"""Puts this folder on the path, so that a test may borrow another room's samples: `from given.base_folder import`."""

import os

from hypothesis import settings

# A busy machine is no defect of the code: no deadlines. On CI the same examples each time; elsewhere fresh ones.
settings.register_profile("house", deadline=None, derandomize=bool(os.environ.get("CI")))
settings.load_profile("house")
