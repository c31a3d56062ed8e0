"""Property tests find the same cases on every run; `HYPOTHESIS_PROFILE=explore` looks further."""

import os

from hypothesis import settings

settings.register_profile("steady", deadline=None, derandomize=True, max_examples=60)
settings.register_profile("explore", deadline=None, max_examples=1000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))
