"""One thread for the linear algebra: these matrices are small, and threads that wait for each other
on a busy machine made the closed loop twenty times slower."""

import os

for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")
