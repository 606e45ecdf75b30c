import os

# As the settings do for a server: several processes of tests share the processors, and small matrices want no threads.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
