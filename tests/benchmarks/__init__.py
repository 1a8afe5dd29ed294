"""Programs that measure; no test asserts a time.  Threads are off before numpy is imported: they count as CPU time."""

import os

for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")
