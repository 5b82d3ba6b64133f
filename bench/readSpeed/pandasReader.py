"""pandas on one file: prints rows, seconds and the process's peak memory as JSON. Exit 3: pandas is not installed."""
import json
import resource
import sys
import time

try:
    import pandas
except ImportError:
    sys.exit(3)

start = time.perf_counter()
frame = pandas.read_csv(sys.argv[1])
seconds = time.perf_counter() - start
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
print(json.dumps({"rows": len(frame), "seconds": seconds, "peakBytes": peak}))
