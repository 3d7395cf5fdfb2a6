"""One fixed hypothesis profile, so that a run can be repeated anywhere."""

import os

from hypothesis import settings

settings.register_profile("fixed", deadline=None, derandomize=True, max_examples=60, print_blob=True)
settings.load_profile("fixed")

#: Every command that a test starts would compile all modules again.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
